// Text that is safe in a DXF file of any version: ASCII, everything else as \U+XXXX.
#pragma once

#include <string>
#include <string_view>

namespace lastwright {

// Control characters become blanks, a doubled % keeps its meaning (%%% is written for each), bytes that are
// no UTF-8 become U+FFFD. What decode_dxf_text and without_control_codes read back is the text again.
void append_dxf_text(std::string& out, std::string_view utf8);

}  // namespace lastwright
