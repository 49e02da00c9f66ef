// Outlines for tests: smooth-and-cornered closed arc paths that look like pattern pieces.
#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>
#include <vector>

#include "geometry/curve/arc_path.hpp"

namespace lastwright::test {

// A small fixed generator: the same numbers with every library.
class Dice {
 public:
  explicit Dice(std::uint64_t seed) : state_(seed * 2654435769u + 1) {}
  double operator()(double low, double high) {
    state_ = state_ * 6364136223846793005u + 1442695040888963407u;
    return low + (high - low) * static_cast<double>(state_ >> 11) / 9007199254740992.0;
  }

 private:
  std::uint64_t state_;
};

// A star-shaped outline of `n` segments about the origin,
// some straight, some bowed either way; counter-clockwise.
inline ClosedArcPath blob(std::uint64_t seed, int n = 12, double radius = 60.0) {
  Dice dice(seed);
  const double squash = dice(0.35, 1.0);
  const double ripple = dice(0.0, 0.2);
  ClosedArcPath path;
  for (int i = 0; i < n; ++i) {
    const double angle = 2.0 * std::numbers::pi * (i + dice(-0.3, 0.3)) / n;
    const double r = radius * (1.0 + dice(-ripple, ripple));
    const double bulge = dice(0.0, 1.0) < 0.25 ? 0.0 : dice(-0.15, 0.35);
    path.vertices.push_back({{r * std::cos(angle), squash * r * std::sin(angle)}, bulge});
  }
  return path;
}

// The outline stretched in two directions, arcs kept as arcs of the same bulge: like a step of a grade.
inline ClosedArcPath stretched(ClosedArcPath path, double sx, double sy) {
  for (ArcVertex& v : path.vertices) v.at = {v.at.x * sx, v.at.y * sy};
  return path;
}

inline ClosedArcPath box_path(double width, double height) {
  return {{{{-width / 2, -height / 2}},
           {{width / 2, -height / 2}},
           {{width / 2, height / 2}},
           {{-width / 2, height / 2}}}};
}

}  // namespace lastwright::test
