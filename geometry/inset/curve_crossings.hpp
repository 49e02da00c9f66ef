// Where two curves of any kind meet.
#pragma once

#include <vector>

#include "geometry/curve/curve.hpp"

namespace lastwright {

struct CurveCrossing {
  Vec2 at;
  double on_one = 0.0;  // parameters
  double on_two = 0.0;
};

// Crossings and touches, lines and arcs by formula, splines by Newton steps to tolerance::kRoot from every
// pair of near chords; two crossings of one pair of chords (a turn of some degrees each) can be found as one.
// Of a stretch that both share, some points.
std::vector<CurveCrossing> curve_crossings(const Curve& one, const Curve& two);

}  // namespace lastwright
