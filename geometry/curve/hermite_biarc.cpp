#include "geometry/curve/hermite_biarc.hpp"

#include <algorithm>
#include <cmath>

namespace lastwright {

namespace {

// tan(half the angle from u to v): the bulge of an arc whose tangent and chord enclose that angle. No trigonometry.
double half_angle_tangent(Vec2 u, Vec2 v) {
  const double along = norm(u) * norm(v) + dot(u, v);
  return along > 0.0 ? cross(u, v) / along : 0.0;
}

}  // namespace

std::array<ArcSegment, 2> hermite_biarc(Vec2 p0, Vec2 t0, Vec2 p1, Vec2 t1) {
  const Vec2 v = p1 - p0;
  const double square = dot(v, v);
  const double along = dot(v, t0 + t1);
  const double turn = 2.0 * (1.0 - dot(t0, t1));
  const double below = along + std::sqrt(std::max(0.0, along * along + turn * square));
  const double d = below > 0.0 ? square / below : 0.5 * std::sqrt(square);
  const Vec2 joint = 0.5 * ((p0 + d * t0) + (p1 - d * t1));
  return {ArcSegment{p0, joint, half_angle_tangent(t0, joint - p0)},
          ArcSegment{joint, p1, half_angle_tangent(p1 - joint, t1)}};
}

double distance_from(const std::array<ArcSegment, 2>& biarc, Vec2 p) {
  return std::min(biarc[0].distance_to(p), biarc[1].distance_to(p));
}

}  // namespace lastwright
