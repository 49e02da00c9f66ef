#include "cli/live/gate.hpp"

#include <fmt/format.h>
#include <sys/random.h>

#include <array>
#include <cerrno>

#include "geometry/invariant.hpp"
#include "grading/json/json_text.hpp"

namespace lastwright {

WebReply refusal(unsigned status, std::string_view why) {
  return {status, "application/json; charset=utf-8",
          Json{{"refused", std::string(why)}}.dump(-1, ' ', false, Json::error_handler_t::replace)};
}

std::string random_key() {
  std::array<unsigned char, 16> bytes{};
  std::size_t have = 0;
  while (have < bytes.size()) {
    const ssize_t more = ::getrandom(bytes.data() + have, bytes.size() - have, 0);
    invariant(more > 0 || errno == EINTR, "the system gives random bytes");
    if (more > 0) have += static_cast<std::size_t>(more);
  }
  std::string text;
  for (const unsigned char byte : bytes) text += fmt::format("{:02x}", byte);
  return text;
}

bool same_secret(std::string_view a, std::string_view b) {
  unsigned char differs = a.size() == b.size() && !a.empty() ? 0 : 1;
  for (std::size_t i = 0; i < a.size(); ++i)
    differs |= static_cast<unsigned char>(a[i] ^ (i < b.size() ? b[i] : '\0'));
  return differs == 0;
}

Gate::Gate(std::uint16_t port) : host_(fmt::format("127.0.0.1:{}", port)), token_(random_key()) {}

std::string Gate::address() const {
  const std::scoped_lock lock(mutex_);
  return fmt::format("http://{}/#{}", host_, token_);
}

void Gate::renew() {
  const std::scoped_lock lock(mutex_);
  token_ = random_key();
}

std::optional<WebReply> Gate::refuse(const WebHead& head,
                                     const std::function<bool(std::string_view)>& file) const {
  if (head.host != host_) return refusal(403, "this address is served under its own name only");
  if (!head.fetch_site.empty() && head.fetch_site != "same-origin" && head.fetch_site != "none")
    return refusal(403, "another site asked for this");
  if (head.method == "GET")
    return file(head.path) ? std::nullopt : std::optional(refusal(404, "there is nothing here"));
  if (head.method != "POST") return refusal(405, "only GET and POST are understood");
  if (head.origin != "http://" + host_) return refusal(403, "only the page itself may ask for this");
  if (head.content_type != "application/json") return refusal(415, "only JSON is read");
  if (head.path == "/enter") return std::nullopt;
  const std::scoped_lock lock(mutex_);
  if (!key_.empty() && same_secret(head.key, key_)) return std::nullopt;
  if (!key_before_.empty() && same_secret(head.key, key_before_))
    return refusal(409, "another page has this style now");
  return refusal(403, "this page has not been let in");
}

std::optional<std::string> Gate::enter(std::string_view token) {
  const std::scoped_lock lock(mutex_);
  if (token_.empty() || !same_secret(token, token_)) return std::nullopt;
  token_.clear();
  if (!key_.empty()) key_before_ = key_;
  key_ = random_key();
  return key_;
}

}  // namespace lastwright
