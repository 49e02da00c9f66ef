#include "geometry/io/utf8.hpp"

namespace lastwright {

Utf8Character next_character(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned char lead = byte(at);
  if (lead < 0x80) return {lead, 1, true};
  const std::size_t size = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
  if (lead < 0xC2 || lead > 0xF4 || at + size > text.size()) return {};
  char32_t code = lead & (size == 4 ? 0x07U : size == 3 ? 0x0FU : 0x1FU);
  for (std::size_t i = 1; i < size; ++i) {
    if ((byte(at + i) & 0xC0) != 0x80) return {};
    code = code << 6 | (byte(at + i) & 0x3FU);
  }
  const bool overlong = (size == 3 && code < 0x800) || (size == 4 && code < 0x10000);
  const bool surrogate = code >= 0xD800 && code <= 0xDFFF;
  if (overlong || surrogate || code > 0x10FFFF) return {};
  return {code, size, true};
}

bool is_printable(char32_t c) {
  if (c < 0x20 || (c >= 0x7F && c < 0xA0)) return false;
  if (c == 0xAD || c == 0x61C || c == 0x180E) return false;       // soft hyphen, direction marks
  if (c >= 0x200B && c <= 0x200F) return false;                   // zero width, direction marks
  if (c >= 0x2028 && c <= 0x202E) return false;                   // separators, embeddings, overrides
  if (c >= 0x2060 && c <= 0x206F) return false;                   // invisible operators, isolates
  if (c == 0xFEFF || (c >= 0xFFF0 && c <= 0xFFFB)) return false;  // byte order mark, specials
  if (c >= 0xFDD0 && c <= 0xFDEF) return false;                   // not characters
  return (c & 0xFFFE) != 0xFFFE && c <= 0x10FFFF && !(c >= 0xD800 && c <= 0xDFFF);
}

}  // namespace lastwright
