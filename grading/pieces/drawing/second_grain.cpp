#include "grading/pieces/drawing/second_grain.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/box2.hpp"
#include "geometry/curve/nearest.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

bool is_head(const Contour& contour, const BoundAxis& grain) {
  constexpr double kSmall = 0.35;    // of the line's length
  constexpr double kTouching = 1.0;  // mm
  const Curve line = Line{grain.from, grain.to};
  Box2 box;
  double off = INFINITY;
  for (const Curve& curve : contour.raw.curves) {
    box.add(bounds(curve));
    for (const Vec2 p : {start_of(curve), end_of(curve)}) off = std::min(off, nearest(line, p).distance);
  }
  return std::hypot(box.width(), box.height()) <= kSmall * distance(grain.from, grain.to) && off <= kTouching;
}

}  // namespace

std::optional<std::string> second_grain(const Contour& contour, const BoundAxis& grain) {
  const double least = tolerance::kSamePoint.value();
  const Vec2 from = start_of(contour.raw.curves.front());
  const Vec2 to = end_of(contour.raw.curves.back());
  if (distance(grain.from, grain.to) <= least || (from == grain.from && to == grain.to) ||
      is_head(contour, grain))
    return std::nullopt;
  std::string told = fmt::format(
      "a second line on the layer of the grain line; the one from ({:.1f}, {:.1f}) to ({:.1f}, "
      "{:.1f}) is taken as the grain",
      grain.from.x, grain.from.y, grain.to.x, grain.to.y);
  if (distance(from, to) <= least) return told;
  const double sine = std::abs(cross(unit(grain.to - grain.from), unit(to - from)));
  return told + fmt::format(", and this one lies at {:.1f} degrees to it",
                            std::asin(std::min(sine, 1.0)) * 180.0 / std::numbers::pi);
}

}  // namespace lastwright
