#include "cli/report/mask_outline.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "geometry/box2.hpp"

namespace lastwright {

namespace {

using Triangles = std::vector<std::array<Vec2, 3>>;

// Shares covered, at the nodes of a square grid.
class Mask {
 public:
  Mask(const Triangles& triangles, double cell) : cell_(cell) {
    Box2 box;
    for (const auto& triangle : triangles) {
      for (const Vec2 p : triangle) box.add(p);
    }
    low_ = box.low - Vec2{4.0 * cell, 4.0 * cell};  // nothing is covered at the rim, also when smoothed
    wide_ = static_cast<std::size_t>(std::ceil(box.width() / cell)) + 10;
    high_ = static_cast<std::size_t>(std::ceil(box.height() / cell)) + 10;
    covered_.assign(wide_ * high_, 0.0);
    for (const auto& triangle : triangles) cover(triangle);
  }
  [[nodiscard]] std::size_t wide() const { return wide_; }
  [[nodiscard]] std::size_t high() const { return high_; }
  [[nodiscard]] double at(std::size_t x, std::size_t y) const { return covered_[y * wide_ + x]; }
  [[nodiscard]] Vec2 place(double x, double y) const { return low_ + cell_ * Vec2{x, y}; }

  // By a quarter of each neighbour along, then across.
  void smooth() {
    for (const std::size_t step : {std::size_t{1}, wide_}) {
      const std::vector<double> was = covered_;
      for (std::size_t i = step; i + step < was.size(); ++i)
        covered_[i] = 0.25 * was[i - step] + 0.5 * was[i] + 0.25 * was[i + step];
    }
  }

 private:
  void cover(std::array<Vec2, 3> t) {
    constexpr double kOnEdge = 1e-9;  // mm2: a node on the edge of two triangles is in one of them
    const double area = cross(t[1] - t[0], t[2] - t[0]);
    if (area == 0.0) return;
    if (area < 0.0) std::swap(t[1], t[2]);
    Box2 box;
    for (const Vec2 p : t) box.add((1.0 / cell_) * (p - low_));
    const auto first = [](double v) { return static_cast<std::size_t>(std::ceil(v)); };
    const auto last = [](double v) { return static_cast<std::size_t>(std::floor(v)); };
    for (std::size_t y = first(box.low.y); y <= last(box.high.y); ++y) {
      for (std::size_t x = first(box.low.x); x <= last(box.high.x); ++x) {
        const Vec2 p = place(static_cast<double>(x), static_cast<double>(y));
        const auto left = [&](Vec2 a, Vec2 b) { return cross(b - a, p - a) >= -kOnEdge; };
        const bool in = left(t[0], t[1]) && left(t[1], t[2]) && left(t[2], t[0]);
        if (in) covered_[y * wide_ + x] = 1.0;
      }
    }
  }

  double cell_;
  Vec2 low_;
  std::size_t wide_ = 0;
  std::size_t high_ = 0;
  std::vector<double> covered_;
};

}  // namespace

std::vector<std::vector<Vec2>> mask_outline(const Triangles& triangles, double cell) {
  constexpr double kHalf = 0.5;
  if (triangles.empty()) return {};
  Mask mask(triangles, cell);
  mask.smooth();
  mask.smooth();
  // Each square of four nodes has lines from one of its sides to another, what is covered on their left. A
  // side is named by its lower left node and whether it is upright.
  using Side = std::pair<std::size_t, bool>;
  std::map<Side, Side> next;
  const auto side = [&](std::size_t x, std::size_t y, bool upright) {
    return Side{y * mask.wide() + x, upright};
  };
  for (std::size_t y = 0; y + 1 < mask.high(); ++y) {
    for (std::size_t x = 0; x + 1 < mask.wide(); ++x) {
      const std::array<bool, 4> in{mask.at(x, y) > kHalf, mask.at(x + 1, y) > kHalf,
                                   mask.at(x + 1, y + 1) > kHalf, mask.at(x, y + 1) > kHalf};
      const std::array<Side, 4> sides{side(x, y, false), side(x + 1, y, true), side(x, y + 1, false),
                                      side(x, y, true)};
      // Counter-clockwise round the square: where it goes from covered to bare a line begins, and it ends
      // where the same covered stretch began.
      for (std::size_t k = 0; k < 4; ++k) {
        if (!in[k] || in[(k + 1) % 4]) continue;
        std::size_t back = k;
        while (in[(back + 3) % 4]) back = (back + 3) % 4;
        next[sides[k]] = sides[(back + 3) % 4];
      }
    }
  }
  const auto crossing = [&](const Side& s) {
    const std::size_t x = s.first % mask.wide();
    const std::size_t y = s.first / mask.wide();
    const double a = mask.at(x, y);
    const double b = s.second ? mask.at(x, y + 1) : mask.at(x + 1, y);
    const double t = (kHalf - a) / (b - a);
    return mask.place(static_cast<double>(x) + (s.second ? 0.0 : t),
                      static_cast<double>(y) + (s.second ? t : 0.0));
  };
  std::vector<std::vector<Vec2>> lines;
  while (!next.empty()) {
    std::vector<Vec2> line;
    for (auto at = next.begin(); at != next.end();) {
      line.push_back(crossing(at->first));
      const Side to = at->second;
      next.erase(at);
      at = next.find(to);
    }
    lines.push_back(std::move(line));
  }
  return lines;
}

}  // namespace lastwright
