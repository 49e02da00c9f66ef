// Places of a drawing as messages print them: in its own unit, by which they are found again in the program
// that drew it.
#pragma once

#include <string>

#include "geometry/io/drawing.hpp"
#include "geometry/vec2.hpp"

namespace lastwright {

// Whether two units, in millimetres, are one but for rounding.
bool same_unit(double a, double b);

// "mm", "cm", "m", "in", "ft", else "0.0254 mm".
std::string unit_name(double millimetres);

// p, in millimetres of the drawing's frame: "(100.000, 0.000)", and where the unit is another one
// "(3.9370, 0.0000) in", with as many more decimals as it is larger. `decimals`: of millimetres.
std::string drawn_place(const Drawing& drawing, Vec2 p, int decimals = 3);
std::string drawn_place(double unit_in_mm, Vec2 p, int decimals = 3);

}  // namespace lastwright
