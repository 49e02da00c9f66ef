// The roles of the triangles of a last that is a mesh.
#pragma once

#include "geometry/solid/body.hpp"

namespace lastwright {

// Of a standing mesh: bottom, the largest connected part that looks the bottom's own way down at its station
// (roles.hpp) within 45 degrees; top, a plane part that looks up in the upper half; the rest is upper, or a
// hole where it does not hang together with the largest part of that. A part of the bottom that is cut off,
// as one on a wall that leans out over it, belongs to what surrounds it. Makes the featherline's edges.
void find_facet_roles(Body& body);

}  // namespace lastwright
