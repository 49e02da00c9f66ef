// A text in small letters: those of English; other bytes stay, so that UTF-8 stays UTF-8.
#pragma once

#include <string>

namespace lastwright {

inline std::string small_letters(std::string text) {
  for (char& c : text) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  return text;
}

}  // namespace lastwright
