// A text without blanks at its ends.
#pragma once

#include <string_view>

namespace lastwright {

inline std::string_view trimmed(std::string_view text) {
  while (text.starts_with(' ')) text.remove_prefix(1);
  while (text.ends_with(' ')) text.remove_suffix(1);
  return text;
}

}  // namespace lastwright
