// How far two drawings of the same thing lie apart.
#pragma once

#include <optional>

#include "geometry/io/drawing.hpp"

namespace lastwright {

// The greatest distance, mm, between entities that stand at the same place of their lists: outlines and lines
// by their two-sided distance, holes by centre and radius, texts by place and height. Empty where they do not
// hold the same entities on the same layers with the same texts, or where a curve is neither line nor arc.
std::optional<double> difference_of(const Drawing& one, const Drawing& other);

}  // namespace lastwright
