#include "cli/report/page_template.hpp"

#include "cli/files/sha256.hpp"
#include "geometry/invariant.hpp"

namespace lastwright {

std::string filled(std::string_view frame, const std::map<std::string, std::string, std::less<>>& texts) {
  static constexpr std::string_view kOpen = "<!--slot:";
  static constexpr std::string_view kClose = "-->";
  std::string page;
  while (true) {
    const std::size_t open = frame.find(kOpen);
    page += frame.substr(0, open);
    if (open == std::string_view::npos) return page;
    frame.remove_prefix(open + kOpen.size());
    const std::size_t close = frame.find(kClose);
    invariant(close != std::string_view::npos, "a slot that closes");
    const auto text = texts.find(frame.substr(0, close));
    invariant(text != texts.end(), "a text for every slot");
    page += text->second;
    frame.remove_prefix(close + kClose.size());
  }
}

std::string json_in_html(const std::string& json) {
  std::string safe;
  safe.reserve(json.size());
  for (const char c : json) {
    if (c == '<') {
      safe += "\\u003c";
    } else if (c == '>') {
      safe += "\\u003e";
    } else if (c == '&') {
      safe += "\\u0026";
    } else {
      safe += c;
    }
  }
  return safe;
}

std::string script_digest(std::string_view script) {
  static constexpr char kDigits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  const Sha256Digest digest = sha256(script);
  std::string text = "sha256-";
  for (std::size_t i = 0; i < digest.size(); i += 3) {
    std::uint32_t bits = 0;
    for (std::size_t k = i; k < i + 3; ++k) bits = bits << 8 | (k < digest.size() ? digest[k] : 0U);
    for (std::size_t k = 0; k < 4; ++k) {
      text += i + k > digest.size() ? '=' : kDigits[bits >> (18 - 6 * k) & 63];
    }
  }
  return text;
}

}  // namespace lastwright
