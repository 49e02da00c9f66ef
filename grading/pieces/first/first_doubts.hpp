// What may be wrong with how a drawing was read for a first style.
#pragma once

#include <optional>
#include <string>

#include "geometry/box2.hpp"
#include "geometry/io/drawing.hpp"
#include "geometry/problem.hpp"

namespace lastwright {

// Whether it would have been an outline had it been read. Annotations and fills draw none, the paper space
// draws nothing of the pattern.
bool could_be_outline(const LeftOut& one);

// That the largest piece, of so many millimetres, is far too large or too small for a shoe, with the units
// that would make it fit.
std::optional<std::string> doubt_of_size(const Drawing& drawing, double largest);

// The refusal of pieces that lie farther from the drawing's
// origin than a style's places may; `box`: of all pieces.
std::optional<Problem> pieces_too_far(const Drawing& drawing, const Box2& box);

}  // namespace lastwright
