#include "geometry/io/dxf/dxf_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>
#include <optional>

namespace lastwright {
namespace {

constexpr char32_t kReplacement = 0xFFFD;

// Windows-1252, 0x80 to 0x9F; the rest is Latin-1. 0: not
// assigned. From the Unicode consortium's mapping table.
constexpr std::array<char32_t, 32> kWindows1252{
    0x20AC, 0,      0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021, 0x02C6, 0x2030, 0x0160,
    0x2039, 0x0152, 0,      0x017D, 0,      0,      0x2018, 0x2019, 0x201C, 0x201D, 0x2022,
    0x2013, 0x2014, 0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0,      0x017E, 0x0178};

std::string upper(std::string_view text) {
  std::string out(text);
  std::transform(out.begin(), out.end(), out.begin(),
                 [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
  return out;
}

// The character that starts at text[at], moving `at` behind
// it; nothing (and one byte on) when it is not valid UTF-8.
std::optional<char32_t> take_utf8(std::string_view text, std::size_t& at) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned char lead = byte(at);
  const std::size_t start = at++;
  if (lead < 0x80) return lead;
  const std::size_t more = lead >= 0xC2 && lead < 0xE0   ? 1
                           : (lead & 0xF0) == 0xE0       ? 2
                           : lead >= 0xF0 && lead < 0xF5 ? 3
                                                         : 0;
  if (more == 0 || start + more >= text.size()) return std::nullopt;
  char32_t code = lead & (0x3Fu >> more);
  for (std::size_t i = 1; i <= more; ++i) {
    if ((byte(start + i) & 0xC0) != 0x80) return std::nullopt;
    code = code << 6 | (byte(start + i) & 0x3Fu);
  }
  constexpr std::array<char32_t, 4> kLeast{0, 0x80, 0x800, 0x10000};
  if (code < kLeast[more] || code > 0x10FFFF || (code >= 0xD800 && code < 0xE000)) return std::nullopt;
  at = start + more + 1;
  return code;
}

bool valid_utf8(std::string_view text) {
  for (std::size_t at = 0; at < text.size();) {
    if (!take_utf8(text, at)) return false;
  }
  return true;
}

// The four hexadecimal digits of \U+XXXX at `at`.
std::optional<char32_t> take_escape(std::string_view text, std::size_t at) {
  constexpr std::string_view kMark = "\\U+";
  constexpr std::size_t kDigits = 4;
  if (text.size() < at + kMark.size() + kDigits || upper(text.substr(at, kMark.size())) != kMark)
    return std::nullopt;
  const char* const first = text.data() + at + kMark.size();
  unsigned value = 0;
  const auto [end, error] = std::from_chars(first, first + kDigits, value, 16);
  if (error != std::errc{} || end != first + kDigits) return std::nullopt;
  return value;
}

void append_printable(std::string& text, char32_t code) {
  append_utf8(text, code < 0x20 || (code >= 0x7F && code < 0xA0) ? U' ' : code);
}

std::string with_escapes_resolved(std::string_view text) {
  constexpr std::size_t kEscapeLength = 7;
  std::string out;
  out.reserve(text.size());
  for (std::size_t at = 0; at < text.size();) {
    std::optional<char32_t> code = text[at] == '\\' ? take_escape(text, at) : std::nullopt;
    if (!code) {
      append_printable(out, *take_utf8(text, at));
      continue;
    }
    at += kEscapeLength;
    if (*code >= 0xD800 && *code < 0xDC00) {  // characters beyond the basic plane come as two escapes
      const std::optional<char32_t> low = take_escape(text, at);
      if (low && *low >= 0xDC00 && *low < 0xE000) {
        at += kEscapeLength;
        code = 0x10000 + ((*code - 0xD800) << 10) + (*low - 0xDC00);
      }
    }
    append_printable(out, *code >= 0xD800 && *code < 0xE000 ? kReplacement : *code);
  }
  return out;
}

}  // namespace

void append_utf8(std::string& text, char32_t code) {
  const auto add = [&text](char32_t byte) { text += static_cast<char>(static_cast<unsigned char>(byte)); };
  if (code < 0x80) {
    add(code);
  } else if (code < 0x800) {
    add(0xC0 | code >> 6);
    add(0x80 | (code & 0x3F));
  } else if (code < 0x10000) {
    add(0xE0 | code >> 12);
    add(0x80 | (code >> 6 & 0x3F));
    add(0x80 | (code & 0x3F));
  } else {
    add(0xF0 | code >> 18);
    add(0x80 | (code >> 12 & 0x3F));
    add(0x80 | (code >> 6 & 0x3F));
    add(0x80 | (code & 0x3F));
  }
}

char32_t next_utf8(std::string_view text, std::size_t& at) {
  return take_utf8(text, at).value_or(kReplacement);
}

Result<std::string> decode_dxf_text(std::string_view bytes, const DxfEncoding& encoding, OddBytes odd) {
  const bool plain =
      std::all_of(bytes.begin(), bytes.end(), [](char c) { return c >= 0x20 && c < 0x7F && c != '\\'; });
  if (plain) return std::string(bytes);
  if (valid_utf8(bytes)) return with_escapes_resolved(bytes);
  const std::string page = upper(encoding.code_page);
  const bool western = !encoding.utf8 && (page == "ANSI_1252" || page == "DOS1252" || page == "ISO8859-1" ||
                                          page == "ISO_8859-1" || page.empty());
  if (!western && odd == OddBytes::kRefuse) {
    return Problem{
        Trouble::kUnsupported,
        encoding.utf8
            ? fmt::format("the name {} is not valid UTF-8", in_quotes(bytes))
            : fmt::format("the name {} is written in code page {}, which is not known here; save the "
                          "drawing as version 2007 or later, which is UTF-8",
                          in_quotes(bytes), in_quotes(encoding.code_page)),
        {},
        {},
        {}};
  }
  std::string utf8;
  for (const char c : bytes) {
    char32_t code = static_cast<unsigned char>(c);
    if (code >= 0x80 && !western) code = kReplacement;
    if (code >= 0x80 && code < 0xA0) {
      code = kWindows1252[code - 0x80];
      if (code == 0) code = kReplacement;
    }
    append_utf8(utf8, code);
  }
  return with_escapes_resolved(utf8);
}

std::string without_control_codes(std::string_view utf8) {
  std::string out;
  out.reserve(utf8.size());
  for (std::size_t i = 0; i < utf8.size(); ++i) {
    if (utf8.compare(i, 2, "%%") != 0 || i + 2 >= utf8.size()) {
      out += utf8[i];
      continue;
    }
    const char code = static_cast<char>(std::tolower(static_cast<unsigned char>(utf8[i + 2])));
    const auto digits = utf8.substr(i + 2, 3);
    unsigned number = 0;
    if (digits.size() == 3 &&
        std::from_chars(digits.data(), digits.data() + 3, number).ptr == digits.data() + 3 && number < 256) {
      append_printable(out, number);
      i += 4;
      continue;
    }
    switch (code) {
      case 'd':
        append_utf8(out, 0xB0);
        break;
      case 'p':
        append_utf8(out, 0xB1);
        break;
      case 'c':
        append_utf8(out, 0x2300);
        break;
      case '%':
        out += '%';
        break;
      case 'u':
      case 'o':
      case 'k':
        break;
      default:
        out += "%%", out += utf8[i + 2];
        break;
    }
    i += 2;
  }
  return out;
}

std::string without_formatting(std::string_view utf8) {
  std::string out;
  out.reserve(utf8.size());
  const auto to_semicolon = [&](std::size_t i) { return std::min(utf8.find(';', i), utf8.size()); };
  for (std::size_t i = 0; i < utf8.size(); ++i) {
    const char c = utf8[i];
    if (c == '{' || c == '}') continue;
    if (c == '^' && i + 1 < utf8.size()) {  // ^I, ^J, ^M: tab and line ends
      out += utf8[i + 1] == ' ' ? '^' : utf8[i + 1] == 'J' ? '\n' : ' ';
      ++i;
      continue;
    }
    if (c != '\\' || i + 1 >= utf8.size()) {
      out += c;
      continue;
    }
    const char code = utf8[++i];
    switch (code) {
      case 'P':
      case 'N':
        out += '\n';
        break;
      case '~':
        out += ' ';
        break;
      case 'L':
      case 'l':
      case 'O':
      case 'o':
      case 'K':
      case 'k':
        break;
      case 'S': {  // stacked: upper ^ or / or # lower
        const std::size_t end = to_semicolon(i);
        for (const char s : utf8.substr(i + 1, end - i - 1)) out += s == '^' || s == '#' ? '/' : s;
        i = end;
        break;
      }
      case 'A':
      case 'C':
      case 'c':
      case 'F':
      case 'f':
      case 'H':
      case 'Q':
      case 'T':
      case 'W':
      case 'p':
        i = to_semicolon(i);
        break;
      default:
        out += code;
        break;  // an escaped brace or backslash
    }
  }
  return without_control_codes(out);
}

std::string in_quotes(std::string_view bytes) {
  constexpr std::size_t kLongest = 40;
  std::string out = "\"";
  for (const char c : bytes.substr(0, kLongest)) out += c >= 0x20 && c < 0x7F ? c : '?';
  return out + (bytes.size() > kLongest ? "...\"" : "\"");
}

}  // namespace lastwright
