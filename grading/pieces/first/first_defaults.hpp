// What a first style takes for granted until people confirm it: scale, run, measures, and one forme.
#pragma once

#include <string>
#include <vector>

#include "geometry/box2.hpp"
#include "grading/pieces/drawing/pattern_drawing.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

inline constexpr const char* kFirstForme = "shell";

// Of the sample, an English 8, 11 in long; millimetres.
inline constexpr double kFirstStickLength = 279.4;

// Fills in all but the pieces; `box`: of all of them, in the drawing. Each default is added to the guesses.
void fill_first_style(const DrawingSpec& drawing, const Box2& box, StyleSpec& style,
                      std::vector<std::string>& guesses);

}  // namespace lastwright
