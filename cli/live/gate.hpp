// Who is let in: decided by the head of a request, before a byte of its body is read.
//
// The program listens on the loopback address alone, but every page in the user's browser can reach that, and
// so can every other user of the machine. So: the Host must be the address itself (a foreign name that was
// pointed at it is turned away), the Origin of everything that asks for more than the page's own files must
// be the page, and a key must come along that only the page which brought the one-time token has. Nothing
// here is secret but the token and the key; both are 128 bits from the system.
#pragma once

#include <cstdint>
#include <functional>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>

#include "cli/live/web.hpp"

namespace lastwright {

// 32 hexadecimal digits from the system's source of randomness.
std::string random_key();

// Takes as long for a wrong text as for the right one.
bool same_secret(std::string_view a, std::string_view b);

class Gate {
 public:
  explicit Gate(std::uint16_t port);

  // "http://127.0.0.1:8080/#token": the fragment is never sent by a browser, so it stands in no log.
  [[nodiscard]] std::string address() const;
  // A new token; the one before it no longer opens.
  void renew();

  // The refusal, or nothing where the request may go on. `file`: whether the page has a file of that path.
  [[nodiscard]] std::optional<WebReply> refuse(const WebHead& head,
                                               const std::function<bool(std::string_view)>& file) const;

  // The key for the page that brings the token, which is spent by it; the page before it is put out. Nothing
  // for a wrong or a spent token.
  std::optional<std::string> enter(std::string_view token);

 private:
  std::string host_;
  mutable std::mutex mutex_;
  std::string token_;
  std::string key_;
  std::string key_before_;
};

}  // namespace lastwright
