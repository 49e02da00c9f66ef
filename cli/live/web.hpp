// What passes between a browser and the program that serves it.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>

namespace lastwright {

// The head of a request, as far as anybody here wants to know it. Fields that were not sent are empty; one
// that was sent twice counts as not sent.
struct WebHead {
  std::string method;  // "GET", "POST"; anything else as it came
  std::string path;    // as it came, never unescaped
  std::string host;
  std::string origin;
  std::string content_type;
  std::string fetch_site;  // what a browser says of where the request was started: Sec-Fetch-Site
  std::string key;         // X-Key
};

struct WebReply {
  unsigned status = 200;
  std::string type = "application/json; charset=utf-8";
  std::string body;
};

// May be called from any thread, once.
using WebAnswer = std::function<void(WebReply)>;

// A sentence for people, and why in one word.
WebReply refusal(unsigned status, std::string_view why);

}  // namespace lastwright
