// Text from files and options made fit for a terminal.
#pragma once

#include <string>
#include <string_view>

namespace lastwright {

// Control characters, the invisible ones that turn the direction of writing, and bytes that are not UTF-8
// come out as "\x1b", "\u202e": nothing in a file's name or text can move the cursor or hide what is printed.
// Tabs and line ends become a space. Whatever goes in, UTF-8 comes out.
std::string safe_text(std::string_view text);

// The same for a text of several lines: its line ends stay.
std::string safe_lines(std::string_view text);

}  // namespace lastwright
