#include "geometry/lattice/covered_share.hpp"

#include <algorithm>
#include <cmath>
#include <queue>
#include <vector>

namespace lastwright {

namespace {

// At which share of the polygon a point lies on its edge.
class Gauge {
 public:
  explicit Gauge(const Polygon& polygon) {
    for (std::size_t i = 0; i < polygon.size(); ++i) {
      const Vec2 normal = -left_of(unit(polygon[(i + 1) % polygon.size()] - polygon[i]));
      const double height = dot(normal, polygon[i]);
      if (!(height > 0.0)) {
        sound_ = false;
        return;
      }
      slopes_.push_back(normal / height);
      steepest_ = std::max(steepest_, 1.0 / height);
    }
  }
  [[nodiscard]] bool sound() const { return sound_; }
  [[nodiscard]] double at(Vec2 p) const {
    double most = 0.0;
    for (const Vec2 slope : slopes_) most = std::max(most, dot(slope, p));
    return most;
  }
  [[nodiscard]] double steepest() const { return steepest_; }

 private:
  std::vector<Vec2> slopes_;
  double steepest_ = 0.0;
  bool sound_ = true;
};

struct ShareCell {
  double least;  // no point of it lies at a smaller share
  Vec2 middle;
  double half;  // of its side
};
struct Later {
  bool operator()(const ShareCell& one, const ShareCell& other) const { return one.least > other.least; }
};

}  // namespace

// Squares in the order of the smallest share they reach: the first that is not covered ends it.
double covered_share(const SumObstacle& obstacle, const Polygon& polygon) {
  const Gauge gauge(polygon);
  if (!gauge.sound()) return 0.0;
  constexpr double kClose = 0.004;  // of the share: a square is cut up until it is known this well
  double size = 0.0;
  for (const Vec2 p : polygon) size = std::max({size, std::abs(p.x), std::abs(p.y)});
  std::priority_queue<ShareCell, std::vector<ShareCell>, Later> cells;
  cells.push({0.0, {}, size});
  double free = 1.0;  // the smallest share at which a point is known to be outside
  while (!cells.empty()) {
    const ShareCell cell = cells.top();
    if (cell.least >= free - kClose) return std::min(cell.least, free);
    cells.pop();
    const double reach = std::sqrt(2.0) * cell.half;
    const double depth = obstacle.depth(cell.middle, reach);
    if (depth >= reach) continue;
    if (depth <= 0.0) free = std::min(free, gauge.at(cell.middle));
    if (cell.half < 1e-3 * size) return std::min(cell.least, free);
    const double half = 0.5 * cell.half;
    for (const double x : {-half, half}) {
      for (const double y : {-half, half}) {
        const Vec2 middle = cell.middle + Vec2{x, y};
        const double least = std::max(0.0, gauge.at(middle) - std::sqrt(2.0) * half * gauge.steepest());
        if (least < free) cells.push({std::max(least, cell.least), middle, half});
      }
    }
  }
  return free;
}

}  // namespace lastwright
