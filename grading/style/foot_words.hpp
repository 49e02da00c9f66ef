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

// Which foot the drawings of a style show, said where pieces are counted or laid for either.
inline std::string foot_note(const std::string& style, const std::string& drawn_foot) {
  if (drawn_foot.empty())
    return style +
           " does not say which foot its drawings show (\"drawn_foot\": \"left\"), so its pieces are called "
           "as "
           "drawn and mirrored, not L and R";
  return "the drawings of " + style + " show the " + drawn_foot + " foot: its pieces as drawn are " +
         foot_words(drawn_foot, false) + ", mirrored " + foot_words(drawn_foot, true);
}

}  // namespace lastwright
