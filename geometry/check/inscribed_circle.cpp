#include "geometry/check/inscribed_circle.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <queue>

namespace lastwright {

namespace {

struct Box {
  Vec2 centre;
  double half = 0.0;   // of its side
  double depth = 0.0;  // of its centre: distance to the outline, below 0 outside of it
  [[nodiscard]] double at_most() const { return depth + half * std::numbers::sqrt2; }
  bool operator<(const Box& other) const { return at_most() < other.at_most(); }
};

}  // namespace

InscribedCircle largest_inscribed_circle(const ClosedArcPath& path, Millimetres precision) {
  constexpr std::size_t kMostBoxes = 200'000;  // guards against an outline of no area; a lens takes 200
  if (path.size() < 2) return {};
  const Box2 all = bounds(path);
  const double side = std::max(std::min(all.width(), all.height()), 1e-3 * (all.width() + all.height()));
  if (!(side > 0.0)) return {all.centre(), 0.0};
  const auto box = [&path](Vec2 centre, double half) {
    const double away = distance_to(path, centre);
    return Box{centre, half, contains(path, centre) ? away : -away};
  };
  std::priority_queue<Box> open;
  InscribedCircle best{all.centre(), 0.0};
  std::size_t looked_at = 0;
  const auto look = [&](Vec2 centre, double half) {
    const Box one = box(centre, half);
    ++looked_at;
    if (one.depth > best.radius) best = {centre, one.depth};
    if (one.at_most() > best.radius + precision.value()) open.push(one);
  };
  const double half = 0.5 * side;
  for (double x = all.low.x + half; x - half < all.high.x; x += side) {
    for (double y = all.low.y + half; y - half < all.high.y; y += side) look({x, y}, half);
  }
  while (!open.empty() && looked_at < kMostBoxes) {
    const Box top = open.top();
    open.pop();
    if (top.at_most() <= best.radius + precision.value()) break;
    const double quarter = 0.5 * top.half;
    for (const double dx : {-quarter, quarter}) {
      for (const double dy : {-quarter, quarter}) look(top.centre + Vec2{dx, dy}, quarter);
    }
  }
  return best;
}

}  // namespace lastwright
