// The line in which a rounded feather edge has turned halfway from the bottom to the wall.
#pragma once

#include <vector>

#include "grading/lasts/roles.hpp"

namespace lastwright {

struct RingPoint {
  Vec3 p;
  Vec3 normal;  // outward unit normal of the surface
};

// How much less than 30 degrees the surface has turned from the bottom's own way down, by node of the mesh:
// above zero on the bottom, below on walls.
std::vector<double> bottomness_of_nodes(const Body& body, const BottomWay& way);
// By triangle: whether it lies low enough to be at the feather edge; holes and cones have such places too.
std::vector<bool> low_triangles(const Body& body);

// On a surface with ripples the line winds to and fro: it is drawn straighter, as a last maker would, until
// it does not. A line that does not wind stays as it is, a pointed toe's corner too.
void straighten(std::vector<RingPoint>& line);

// The longest such line round the bottom of a standing body, closed, its points a millimetre or two apart and
// on the surface; empty where it does not close.
std::vector<RingPoint> feather_ring(const Body& body);

}  // namespace lastwright
