// B-spline curves and surfaces of space, rational or not, on clamped knots: evaluation only.
//
// Own code because the measuring loop needs some ten million points a second, from several threads at once.
#pragma once

#include <vector>

#include "geometry/solid/vec3.hpp"

namespace lastwright {

inline constexpr int kMaxDegree = 25;  // what a STEP file may bring

// Non-decreasing knots, first and last repeated degree + 1 times. count() functions of that degree.
struct KnotVector {
  int degree = 3;
  std::vector<double> knots;

  [[nodiscard]] int count() const { return static_cast<int>(knots.size()) - degree - 1; }
  [[nodiscard]] double low() const { return knots[static_cast<std::size_t>(degree)]; }
  [[nodiscard]] double high() const { return knots[static_cast<std::size_t>(count())]; }
  // The last knot index i with knots[i] <= t < knots[i + 1], clamped to the range.
  [[nodiscard]] int span(double t) const;
  // The degree + 1 functions that do not vanish at t; the first of them has index span - degree.
  void functions(double t, int span, double* values) const;
  // As above with first derivatives.
  void functions_and_slopes(double t, int span, double* values, double* slopes) const;
  // Mean of `degree` consecutive knots for each function: where interpolation is well posed.
  [[nodiscard]] std::vector<double> greville() const;
};

struct BSplineCurve3 {
  KnotVector knots;
  std::vector<Vec3> poles;
  std::vector<double> weights;  // empty: not rational

  [[nodiscard]] Vec3 point(double t) const;
  // Point and first derivative.
  void point_and_slope(double t, Vec3& point, Vec3& slope) const;
};

struct SurfacePoint {
  Vec3 p;
  Vec3 du;
  Vec3 dv;
};

struct BSplineSurface {
  KnotVector u;
  KnotVector v;
  std::vector<Vec3> poles;      // index i * v.count() + j
  std::vector<double> weights;  // as poles; empty: not rational

  [[nodiscard]] Vec3 point(double at_u, double at_v) const;
  [[nodiscard]] SurfacePoint at(double at_u, double at_v) const;
};

// A knot vector of that degree over the given strictly rising breaks, every inner knot simple.
KnotVector clamped_knots(int degree, const std::vector<double>& breaks);

}  // namespace lastwright
