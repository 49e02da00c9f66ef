#include "cli/safe_text.hpp"

#include <fmt/format.h>

#include <cstdint>

namespace lastwright {

namespace {

struct Character {
  std::uint32_t code = 0;
  std::size_t bytes = 0;  // 0: not UTF-8
};

Character first_of(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned char lead = byte(0);
  const std::size_t count = lead < 0x80 ? 1 : lead >= 0xf0 ? 4 : lead >= 0xe0 ? 3 : lead >= 0xc0 ? 2 : 0;
  if (count == 0 || count > text.size() || lead > 0xf4) return {};
  if (count == 1) return {lead, 1};
  std::uint32_t code = lead & (0x7fU >> count);
  for (std::size_t i = 1; i < count; ++i) {
    if ((byte(i) & 0xc0U) != 0x80U) return {};
    code = (code << 6U) | (byte(i) & 0x3fU);
  }
  constexpr std::uint32_t kLeast[] = {0, 0, 0x80, 0x800, 0x10000};  // shorter forms exist below
  const bool surrogate = code >= 0xd800 && code <= 0xdfff;
  if (code < kLeast[count] || code > 0x10ffff || surrogate) return {};
  return {code, count};
}

bool hides(std::uint32_t code) {
  return code < 0x20 || (code >= 0x7f && code < 0xa0) || (code >= 0x200b && code <= 0x200f) ||
         (code >= 0x2028 && code <= 0x202e) || (code >= 0x2060 && code <= 0x2069) || code == 0xfeff;
}

}  // namespace

std::string safe_text(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const Character one = first_of(text);
    if (one.bytes == 0) {
      out += fmt::format("\\x{:02x}", static_cast<unsigned char>(text.front()));
      text.remove_prefix(1);
      continue;
    }
    if (one.code == '\n' || one.code == '\t' || one.code == '\r') {
      out += ' ';
    } else if (hides(one.code)) {
      out += one.code < 0x100 ? fmt::format("\\x{:02x}", one.code) : fmt::format("\\u{:04x}", one.code);
    } else {
      out += text.substr(0, one.bytes);
    }
    text.remove_prefix(one.bytes);
  }
  return out;
}

std::string safe_lines(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const std::size_t end = text.find('\n');
    out += safe_text(text.substr(0, end));
    if (end == std::string_view::npos) break;
    out += '\n';
    text.remove_prefix(end + 1);
  }
  return out;
}

}  // namespace lastwright
