// What pieces and dies for one foot are called.
#pragma once

#include <string>

namespace lastwright {

// Whether it is one foot that a piece as drawn is cut for (grading/style/drawn_feet).
inline bool one_foot(const std::string& drawn_foot) {
  return drawn_foot == "left" || drawn_foot == "right";
}

// "L" or "R" where one foot is drawn, else "as drawn" and "mirrored": it is not stated, or each shoe takes
// both.
inline std::string foot_words(const std::string& drawn_foot, bool mirrored) {
  if (!one_foot(drawn_foot)) return mirrored ? "mirrored" : "as drawn";
  return (drawn_foot == "left") != mirrored ? "L" : "R";
}

}  // namespace lastwright
