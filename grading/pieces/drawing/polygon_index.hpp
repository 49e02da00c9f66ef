// Inside or outside of one polygon, asked many times.
#pragma once

#include <cstdint>
#include <vector>

#include "geometry/box2.hpp"

namespace lastwright {

// Edges by the strips of height they reach into. A query looks at one strip only. The strips together hold at
// most a few times as many edges as the polygon has, whatever its shape.
class PolygonIndex {
 public:
  PolygonIndex() = default;
  // The polygon's last point joins its first. It is copied.
  explicit PolygonIndex(std::vector<Vec2> polygon);

  // By the winding rule, like inside_polygon; points on the polygon may go either way.
  [[nodiscard]] bool inside(Vec2 p) const;

 private:
  [[nodiscard]] std::size_t strip_of(double y) const;

  std::vector<Vec2> polygon_;
  Box2 box_;
  double per_height_ = 0.0;           // strips a millimetre
  std::vector<std::uint32_t> first_;  // of each strip, into edges_; one more at the end
  std::vector<std::uint32_t> edges_;  // by their first point
};

}  // namespace lastwright
