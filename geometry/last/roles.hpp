// What each face is to a last: bottom, upper, top or a hole; and the featherline between bottom and upper.
#pragma once

#include <optional>
#include <utility>
#include <vector>

#include "geometry/last/body.hpp"
#include "geometry/result.hpp"

namespace lastwright {

// Expects the body standing (stand.hpp). Bottom: mean normal within 40 degrees of straight down. Top: flat,
// facing up, in the upper third. Hole: most of the face looks at the body itself (thimble and pin holes,
// hinge cuts): hulls bridge them, landmarks never lie there. The rest is upper. Also notes the kink of every
// edge.
void find_roles(Body& body);

// Edges between a bottom and an upper face.
std::vector<int> feather_edges(const Body& body);

// Where the featherline crosses station x: the points with the largest and the smallest y. Empty where it
// does not.
struct FeatherPair {
  Vec3 left;  // larger y
  Vec3 right;
};
std::optional<FeatherPair> feather_at(const Body& body, const std::vector<int>& edges, double x);

// The nearest point of a face to p, searched from the nearest mesh node by Gauss-Newton; clamped to the
// surface.
SurfaceSpot project(const Body& body, int face, Vec3 p);

}  // namespace lastwright
