// An axis-parallel box; a default one is empty and grows from nothing.
#pragma once

#include <algorithm>
#include <limits>

#include "geometry/vec2.hpp"

namespace lastwright {

struct Box2 {
  Vec2 low{std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
  Vec2 high{-std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()};

  [[nodiscard]] bool empty() const { return !(low.x <= high.x && low.y <= high.y); }
  [[nodiscard]] double width() const { return high.x - low.x; }
  [[nodiscard]] double height() const { return high.y - low.y; }
  [[nodiscard]] Vec2 centre() const { return 0.5 * (low + high); }
  void add(Vec2 p) {
    low = {std::min(low.x, p.x), std::min(low.y, p.y)};
    high = {std::max(high.x, p.x), std::max(high.y, p.y)};
  }
  void add(const Box2& other) {
    if (other.empty()) return;
    add(other.low);
    add(other.high);
  }
  [[nodiscard]] Box2 grown(double margin) const {
    return {{low.x - margin, low.y - margin}, {high.x + margin, high.y + margin}};
  }
  // Square of the distance from p; 0 inside.
  [[nodiscard]] double square_gap(Vec2 p) const {
    const double dx = std::max(std::max(low.x - p.x, p.x - high.x), 0.0);
    const double dy = std::max(std::max(low.y - p.y, p.y - high.y), 0.0);
    return dx * dx + dy * dy;
  }
  [[nodiscard]] bool overlaps(const Box2& other) const {
    return low.x <= other.high.x && other.low.x <= high.x && low.y <= other.high.y && other.low.y <= high.y;
  }
};

}  // namespace lastwright
