// Reading UTF-8 text character by character, distrusting it.
#pragma once

#include <cstddef>
#include <string_view>

namespace lastwright {

struct Utf8Character {
  char32_t code = 0xFFFD;
  std::size_t bytes = 1;  // to step over: at least 1
  bool valid = false;     // false for overlong forms, surrogates, stray and missing bytes
};

// The character that starts at `at`. Precondition: at < text.size().
Utf8Character next_character(std::string_view text, std::size_t at);

// False for control characters, for those that change the direction of what follows or cannot be seen, for
// line and paragraph separators and for what is no character: none of them belongs into a name or a label.
bool is_printable(char32_t c);

}  // namespace lastwright
