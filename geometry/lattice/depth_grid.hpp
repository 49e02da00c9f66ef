// A picture of an obstacle: how deep inside it a point lies, read off in no time, to about a cell.
#pragma once

#include <vector>

#include "geometry/lattice/sum_obstacle.hpp"

namespace lastwright {

class DepthGrid {
 public:
  // `cells` along the longer side of the obstacle's box.
  DepthGrid(const SumObstacle& obstacle, int cells);

  // About how far inside v is; 0 outside.
  [[nodiscard]] double depth(Vec2 v) const {
    const double x = (v.x - low_.x) * per_mm_;
    const double y = (v.y - low_.y) * per_mm_;
    if (!(x >= 0.0 && y >= 0.0 && x < width_ && y < height_)) return 0.0;
    return depth_[static_cast<std::size_t>(y) * static_cast<std::size_t>(width_) +
                  static_cast<std::size_t>(x)];
  }
  // Points just outside, spread over the whole edge, holes too: at most `most`, the same in every run.
  [[nodiscard]] std::vector<Vec2> edge_points(std::size_t most) const;
  [[nodiscard]] double cell() const { return 1.0 / per_mm_; }

 private:
  void fill(const Polygon& polygon);
  void measure();

  Vec2 low_;
  double per_mm_ = 1.0;
  int width_ = 0;
  int height_ = 0;
  std::vector<float> depth_;
};

}  // namespace lastwright
