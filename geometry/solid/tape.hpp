// The length of a taut tape around a section: the perimeter of its convex hull in the plane.
#pragma once

#include <vector>

#include "geometry/solid/section.hpp"

namespace lastwright {

struct Tape {
  double length = 0.0;            // perimeter of the hull, mm
  double skin = 0.0;              // length of the section's own curve, hollows and cuts included, mm
  std::vector<std::size_t> hull;  // indices of the section's points, counter-clockwise in (e1, e2)
};
// Zero for a section without points.
Tape tape_of(const Section& section);

// The part of the skin on faces of that role, mm.
double skin_on(const Section& section, const Body& body, int role);

// How the tape changes when every material point moves by velocity(material)
// and the plane's height function by plane_rate(p) (d/ds of height at a fixed
// p). First-order exact: only what moves the hull's corners across counts.
struct TapeCorner {
  Vec3 pull;  // gradient of the tape by the corner's motion, in the plane: incoming minus outgoing unit chord
  double slack;  // dot(pull, slide) / dot(normal, slide): what a unit of height costs
  std::size_t point;
};
// d tape = sum over corners of dot(pull, v) - slack *
// (dot(normal, v) + plane_rate(p)), v the velocity of the point.
std::vector<TapeCorner> tape_gradient(const Section& section, const Tape& tape);

// The corners of the convex hull of the points' coordinates in the
// plane; those within rounding of a line are dropped.
std::vector<std::size_t> convex_hull(const std::vector<Vec3>& points, const Plane3& plane);
double perimeter(const std::vector<Vec3>& points, const std::vector<std::size_t>& loop);

}  // namespace lastwright
