#include "geometry/io/safe_text.hpp"

#include <fmt/format.h>

#include <cstdint>

#include "geometry/io/utf8.hpp"

namespace lastwright {

std::string safe_text(std::string_view text) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    const Utf8Character one = next_character(text, at);
    if (!one.valid) {
      out += fmt::format("\\x{:02x}", static_cast<unsigned char>(text[at]));
    } else if (one.code == '\n' || one.code == '\t' || one.code == '\r') {
      out += ' ';
    } else if (!is_printable(one.code)) {
      const auto code = static_cast<std::uint32_t>(one.code);
      out += code < 0x100 ? fmt::format("\\x{:02x}", code) : fmt::format("\\u{:04x}", code);
    } else {
      out += text.substr(at, one.bytes);
    }
    at += one.bytes;
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
