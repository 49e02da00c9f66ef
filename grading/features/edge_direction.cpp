#include "grading/features/edge_direction.hpp"

#include <cmath>

#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

std::optional<Vec2> span_direction(std::span<const SmoothSpan> spans, Vec2 at, Vec2 seen) {
  constexpr double kAlike = 0.02;  // radians: more than arcs are off, less than a corner turns
  for (const SmoothSpan& span : spans) {
    const std::optional<Vec2> along = direction_on(span, at, tolerance::kMapped.value());
    if (along && std::abs(angle_between(*along, seen)) < kAlike) return along;
  }
  return std::nullopt;
}

}  // namespace

Vec2 true_direction(std::span<const SmoothSpan> spans, const std::optional<Mirror>& mirror, Vec2 at,
                    Vec2 seen) {
  if (const std::optional<Vec2> drawn = span_direction(spans, at, seen)) return *drawn;
  if (!mirror) return seen;
  // On the other half the edge comes back.
  const auto back = [&](Vec2 p, Vec2 direction) { return (*mirror)(p) - (*mirror)(p + direction); };
  const Vec2 image = (*mirror)(at);
  const std::optional<Vec2> drawn = span_direction(spans, image, back(at, seen));
  return drawn ? back(image, *drawn) : seen;
}

}  // namespace lastwright
