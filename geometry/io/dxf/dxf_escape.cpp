#include "geometry/io/dxf/dxf_escape.hpp"

#include <fmt/format.h>

#include "geometry/io/dxf/dxf_text.hpp"

namespace lastwright {
namespace {

void append_escape(std::string& out, char32_t code) {
  if (code >= 0x10000) {
    const char32_t above = code - 0x10000;
    append_escape(out, 0xD800 + (above >> 10));
    append_escape(out, 0xDC00 + (above & 0x3FF));
    return;
  }
  out += fmt::format("\\U+{:04X}", static_cast<unsigned>(code));
}

}  // namespace

void append_dxf_text(std::string& out, std::string_view utf8) {
  for (std::size_t at = 0; at < utf8.size();) {
    const char c = utf8[at];
    if (c == '%' && (utf8.substr(at, 2) == "%%" || out.ends_with("%%%"))) {
      out += "%%%";
      ++at;
    } else if (c == '\\' || c == '^') {  // both would start a code
      append_escape(out, static_cast<unsigned char>(c));
      ++at;
    } else if (c >= 0x20 && c < 0x7F) {
      out += c;
      ++at;
    } else if (c >= 0 && (c < 0x20 || c == 0x7F)) {
      out += ' ';
      ++at;
    } else {
      append_escape(out, next_utf8(utf8, at));
    }
  }
}

}  // namespace lastwright
