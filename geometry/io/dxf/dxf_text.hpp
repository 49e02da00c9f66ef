// Text in DXF files: code pages, \U+XXXX escapes, control codes of TEXT, formatting codes of MTEXT.
#pragma once

#include <string>
#include <string_view>

#include "geometry/result.hpp"

namespace lastwright {

// How the bytes of strings are to be read, from $ACADVER and $DWGCODEPAGE.
struct DxfEncoding {
  bool utf8 = false;                    // R2007 (AC1021) and later
  std::string code_page = "ANSI_1252";  // used when not utf8
};

// What to do with bytes that have no meaning in the encoding.
enum class OddBytes { kRefuse, kReplace };

// The bytes as UTF-8, \U+XXXX taken out. Known code pages: 1252 and Latin-1; bytes that form valid UTF-8 are
// taken as that under any code page, because many programs write it so. Control characters become spaces.
// kRefuse: a Problem for bytes of an unknown code page; kReplace: U+FFFD in their place.
Result<std::string> decode_dxf_text(std::string_view bytes, const DxfEncoding& encoding, OddBytes odd);

// TEXT: %%d, %%p, %%c, %%nnn become characters; %%u, %%o, %%k (lines under, over, through) are taken off.
std::string without_control_codes(std::string_view utf8);
// MTEXT: \P is a line break; fonts, heights, colours, braces,
// alignment are taken off; a stacked fraction becomes a/b.
std::string without_formatting(std::string_view utf8);

// Appends one character. Precondition: code <= 0x10FFFF.
void append_utf8(std::string& text, char32_t code);
// The character that starts at text[at], U+FFFD where there is no valid one; `at` moves behind it.
// Precondition: at < size.
char32_t next_utf8(std::string_view text, std::size_t& at);
// In quotes for a message: control characters and bytes outside ASCII shown as ?, cut to 40.
std::string in_quotes(std::string_view bytes);

}  // namespace lastwright
