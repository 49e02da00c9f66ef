#include "geometry/lattice/depth_grid.hpp"

#include <algorithm>
#include <cmath>

namespace lastwright {

DepthGrid::DepthGrid(const SumObstacle& obstacle, int cells) {
  const Box2& box = obstacle.box();
  const double size = std::max(box.width(), box.height());
  per_mm_ = cells / size;
  // Two cells of nothing all round, so that every edge has an outside.
  low_ = box.low - Vec2{2.0 / per_mm_, 2.0 / per_mm_};
  width_ = static_cast<int>(std::ceil(box.width() * per_mm_)) + 4;
  height_ = static_cast<int>(std::ceil(box.height() * per_mm_)) + 4;
  depth_.assign(static_cast<std::size_t>(width_) * static_cast<std::size_t>(height_), 0.0F);
  for (const Polygon& polygon : obstacle.polygons()) fill(polygon);
  measure();
}

// A cell belongs to a polygon when its middle does.
void DepthGrid::fill(const Polygon& polygon) {
  double low = 1e300;
  double high = -1e300;
  for (const Vec2 p : polygon) {
    low = std::min(low, p.y);
    high = std::max(high, p.y);
  }
  const int first = std::max(0, static_cast<int>(std::ceil((low - low_.y) * per_mm_ - 0.5)));
  const int last = std::min(height_ - 1, static_cast<int>(std::floor((high - low_.y) * per_mm_ - 0.5)));
  for (int row = first; row <= last; ++row) {
    const double y = low_.y + (row + 0.5) / per_mm_;
    double left = 1e300;
    double right = -1e300;
    for (std::size_t i = 0; i < polygon.size(); ++i) {
      const Vec2 p = polygon[i];
      const Vec2 q = polygon[i + 1 == polygon.size() ? 0 : i + 1];
      if ((p.y <= y) == (q.y <= y)) continue;
      const double x = p.x + (y - p.y) / (q.y - p.y) * (q.x - p.x);
      left = std::min(left, x);
      right = std::max(right, x);
    }
    const int from = std::max(0, static_cast<int>(std::ceil((left - low_.x) * per_mm_ - 0.5)));
    const int to = std::min(width_ - 1, static_cast<int>(std::floor((right - low_.x) * per_mm_ - 0.5)));
    float* cells = depth_.data() + static_cast<std::size_t>(row) * static_cast<std::size_t>(width_);
    for (int column = from; column <= to; ++column) cells[column] = 1e9F;
  }
}

// Two passes over the picture: steps of 1 to the side and of the root of 2 aslant.
void DepthGrid::measure() {
  const float side = static_cast<float>(cell());
  const float aslant = side * 1.41421356F;
  const auto at = [&](int row, int column) -> float& {
    return depth_[static_cast<std::size_t>(row) * static_cast<std::size_t>(width_) +
                  static_cast<std::size_t>(column)];
  };
  const auto shorten = [&](int row, int column, int by) {
    float& here = at(row, column);
    if (here == 0.0F) return;
    here = std::min({here, at(row - by, column) + side, at(row, column - by) + side,
                     at(row - by, column - by) + aslant, at(row - by, column + by) + aslant});
  };
  for (int row = 1; row + 1 < height_; ++row) {
    for (int column = 1; column + 1 < width_; ++column) shorten(row, column, 1);
  }
  for (int row = height_ - 2; row > 0; --row) {
    for (int column = width_ - 2; column > 0; --column) shorten(row, column, -1);
  }
  // The edge runs half a cell off the middle of the first cell inside.
  for (float& depth : depth_) depth = std::max(0.0F, depth - 0.5F * side);
}

std::vector<Vec2> DepthGrid::edge_points(std::size_t most) const {
  std::vector<std::pair<int, int>> edge;
  const auto inside = [&](int row, int column) {
    return depth_[static_cast<std::size_t>(row) * static_cast<std::size_t>(width_) +
                  static_cast<std::size_t>(column)] > 0.0F;
  };
  for (int row = 1; row + 1 < height_; ++row) {
    for (int column = 1; column + 1 < width_; ++column) {
      if (inside(row, column)) continue;
      if (inside(row - 1, column) || inside(row + 1, column) || inside(row, column - 1) ||
          inside(row, column + 1))
        edge.emplace_back(row, column);
    }
  }
  // One in each square block, of the smallest blocks that leave few enough.
  std::vector<Vec2> points;
  for (int block = 1; points.empty() && !edge.empty(); ++block) {
    const int across = width_ / block + 1;
    std::vector<char> taken(static_cast<std::size_t>(across) * static_cast<std::size_t>(height_ / block + 1),
                            0);
    for (const auto& [row, column] : edge) {
      char& here = taken[static_cast<std::size_t>(row / block) * static_cast<std::size_t>(across) +
                         static_cast<std::size_t>(column / block)];
      if (here != 0) continue;
      here = 1;
      points.push_back(low_ + Vec2{(column + 0.5) / per_mm_, (row + 0.5) / per_mm_});
    }
    if (points.size() > most) points.clear();
  }
  return points;
}

}  // namespace lastwright
