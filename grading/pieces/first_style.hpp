// A first style from a bare drawing, so that nobody starts from a blank page.
//
// Every closed boundary becomes a piece with corners where its tangent breaks. There is one forme whose base
// line is the bottom of the drawing's box, and the grade is in proportion: along it by the stick length,
// across it by the ball girth. The style loads and grades as it stands; everything that was guessed is
// listed, to be confirmed by people.
#pragma once

#include <string>
#include <vector>

#include "grading/pieces/pattern_drawing.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

struct FirstStyleOptions {
  std::string name;  // of the style
  std::string drawing_key = "drawing";
  std::string drawing_file;                         // as the style shall name it
  std::string units;                                // "" when the drawing says; else "mm", "cm", "in"
  Millimetres chain_gap = DrawingSpec{}.chain_gap;  // loose ends this close are joined
};

struct FirstStyle {
  StyleSpec style;
  std::vector<std::string> guesses;   // one line each
  std::vector<std::string> warnings;  // what may well be wrong: open outlines, pieces too small, units
};

// Refuses a drawing without a single sound closed contour, or where all closed ones are too small for a piece
// and larger ones are open, saying what is wrong with each.
Result<FirstStyle> first_style(Drawing drawing, const FirstStyleOptions& options);

}  // namespace lastwright
