// A smooth curve that runs on beyond its ends.
#pragma once

#include <array>
#include <cmath>
#include <optional>
#include <vector>

#include "geometry/curve/curve.hpp"

namespace lastwright {

// A place on a curve or on what it runs on along.
struct LongPlace {
  std::size_t part = 1;  // 0 before the curve, 1 on it, 2 after it
  double t = 0.0;        // parameter on that part
  Vec2 at;
};

struct LongCrossing {
  LongPlace on_one;
  LongPlace on_two;
};

// A line runs on along its line, an arc along its circle, a spline along the circle that it ends with: at
// most by `reach` mm, and by less than half a circle.
class LongCurve {
 public:
  LongCurve(Curve own, double reach);

  [[nodiscard]] const Curve& own() const { return *parts_[1]; }
  [[nodiscard]] double length() const { return length_; }
  [[nodiscard]] LongPlace start() const;
  [[nodiscard]] LongPlace end() const;
  // Millimetres along, 0 at the curve's start; below 0 before it.
  [[nodiscard]] double position(const LongPlace& place) const;
  [[nodiscard]] Vec2 tangent(const LongPlace& place) const {
    return tangent_at(*parts_[place.part], place.t);
  }
  // Signed, above 0 for a left turn.
  [[nodiscard]] double curvature(const LongPlace& place) const {
    const Vec2 along = derivative_at(*parts_[place.part], place.t);
    return cross(along, second_derivative_at(*parts_[place.part], place.t)) / std::pow(norm(along), 3);
  }
  // What lies between two places, from before to: with exactly these ends. Arcs of one circle and lines are
  // in one piece as far as an Arc may turn.
  [[nodiscard]] std::vector<Curve> between(const LongPlace& from, const LongPlace& to) const;

  // Lets it run on to another point instead, from its end or backward from its start: with the direction and
  // the curvature that it ends with, bending more or less from there.
  void run_on_to(Vec2 p);
  void run_back_to(Vec2 p);

  friend std::vector<LongCrossing> crossings(const LongCurve& one, const LongCurve& two);

 private:
  std::array<std::optional<Curve>, 3> parts_;
  double length_ = 0.0;
};

// Wherever the two meet, run-ons included.
std::vector<LongCrossing> crossings(const LongCurve& one, const LongCurve& two);

}  // namespace lastwright
