// What pieces and dies for one foot are called.
#pragma once

#include <string>

namespace lastwright {

// "L" or "R" where the style says which foot its drawings show (StyleSpec::drawn_foot), else "as drawn" and
// "mirrored".
inline std::string foot_words(const std::string& drawn_foot, bool mirrored) {
  if (drawn_foot.empty()) return mirrored ? "mirrored" : "as drawn";
  return (drawn_foot == "left") != mirrored ? "L" : "R";
}

}  // namespace lastwright
