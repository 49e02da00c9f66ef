#include "cli/files/safe_name.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "geometry/io/utf8.hpp"

namespace lastwright {

namespace {

constexpr std::array kDeviceNames = {"con",  "prn",  "aux",  "nul",  "com1", "com2", "com3", "com4",
                                     "com5", "com6", "com7", "com8", "com9", "lpt1", "lpt2", "lpt3",
                                     "lpt4", "lpt5", "lpt6", "lpt7", "lpt8", "lpt9"};

bool is_device_name(std::string_view name) {
  std::string stem = folded(name.substr(0, name.find('.')));
  while (!stem.empty() && stem.back() == ' ') stem.pop_back();
  return std::find(kDeviceNames.begin(), kDeviceNames.end(), stem) != kDeviceNames.end();
}

bool may_stand(char32_t c) {
  if (!is_printable(c)) return false;
  return c > 0x7F || std::string_view("/\\:*?\"<>|").find(static_cast<char>(c)) == std::string_view::npos;
}

bool may_lead(char c) {
  return c != '.' && c != '-' && c != ' ' && c != '~';
}
bool may_end(char c) {
  return c != '.' && c != ' ';
}

}  // namespace

std::string folded(std::string_view text) {
  std::string lower(text);
  for (char& c : lower) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return lower;
}

bool is_safe_name(std::string_view name) {
  if (name.empty() || name.size() > kLongestName) return false;
  if (!may_lead(name.front()) || !may_end(name.back()) || is_device_name(name)) return false;
  for (std::size_t at = 0; at < name.size();) {
    const Utf8Character c = next_character(name, at);
    if (!c.valid || !may_stand(c.code)) return false;
    at += c.bytes;
  }
  return true;
}

std::string safe_name(std::string_view text) {
  std::string name;
  for (std::size_t at = 0; at < text.size();) {
    const Utf8Character c = next_character(text, at);
    if (c.valid && may_stand(c.code)) {
      if (name.size() + c.bytes > kLongestName) break;
      name += text.substr(at, c.bytes);
    } else {
      if (name.size() + 1 > kLongestName) break;
      name += '_';
    }
    at += c.bytes;
  }
  if (name.empty()) return "unnamed";
  if (!may_lead(name.front())) name.front() = '_';
  if (!may_end(name.back())) name.back() = '_';
  if (is_device_name(name)) name.insert(name.begin(), '_');
  return name;
}

std::string SafeNames::claim(std::string_view text) {
  const std::string name = safe_name(text);
  std::string claimed = name;
  for (int count = 2; !taken_.insert(folded(claimed)).second; ++count) {
    const std::string suffix = fmt::format("-{}", count);
    std::size_t kept = std::min(name.size(), kLongestName - suffix.size());
    while (kept > 0 && kept < name.size() && (static_cast<unsigned char>(name[kept]) & 0xC0) == 0x80) --kept;
    claimed = name.substr(0, kept) + suffix;
  }
  return claimed;
}

}  // namespace lastwright
