// Knot insertion on the homogeneous poles of a B-spline: the one operation behind clamping, cutting a part
// out and taking a spline apart into Bezier pieces. None of it changes the curve.
#pragma once

#include <vector>

#include "geometry/curve/curve.hpp"

namespace lastwright {

// A pole times its weight, and the weight: rational curves become polynomial ones in three coordinates.
struct HomogeneousPole {
  double x = 0.0;
  double y = 0.0;
  double w = 1.0;
  [[nodiscard]] Vec2 point() const { return {x / w, y / w}; }
};

inline HomogeneousPole blend(const HomogeneousPole& a, const HomogeneousPole& b, double t) {
  return {a.x + t * (b.x - a.x), a.y + t * (b.y - a.y), a.w + t * (b.w - a.w)};
}

struct KnottedPoles {
  int degree = 1;
  bool rational = false;
  std::vector<double> knots;
  std::vector<HomogeneousPole> poles;
};

KnottedPoles knotted_poles(int degree, std::vector<double> knots, const std::vector<Vec2>& poles,
                           const std::vector<double>& weights);
KnottedPoles knotted_poles(const Spline& spline);

// Inserts `t` until it stands `degree` times (Boehm). Precondition: knots[degree] <= t <= knots[poles], and
// where t is the last of these, a larger knot follows or t stands there often enough already.
void saturate_knot(KnottedPoles& spline, double t);

// Cuts the part between two knots out, ends clamped and scaled to [0, 1].
// Precondition: both knots are saturated, from < to.
KnottedPoles between_knots(const KnottedPoles& spline, double from, double to);

// Back to points and weights. Precondition: clamped.
Spline to_spline(const KnottedPoles& clamped);

}  // namespace lastwright
