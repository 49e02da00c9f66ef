// Which part of a last's form is its bottom, and which its top plane, before it has faces with roles.
#pragma once

#include <vector>

#include "geometry/solid/body.hpp"
#include "grading/lasts/last_axes.hpp"

namespace lastwright {

// Marks the triangles of the bottom (1) and of the top plane (2) of a body that stands by these axes.
std::vector<int> mark_bottom(const Body& body, const LastAxes& axes);

}  // namespace lastwright
