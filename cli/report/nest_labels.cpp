#include "cli/report/nest_labels.hpp"

#include <algorithm>
#include <array>

namespace lastwright {

namespace {

constexpr double kReach = 9.0;  // from the outermost tip to the labels

Vec2 direction_of(Side side) {
  switch (side) {
    case Side::kRight:
      return {1, 0};
    case Side::kLeft:
      return {-1, 0};
    case Side::kTop:
      return {0, 1};
    case Side::kBottom:
      return {0, -1};
  }
  return {1, 0};
}

// The point of the outline farthest in one of the four directions; of a straight end its middle.
Vec2 tip_of(const ClosedArcPath& path, Vec2 direction) {
  const double far = [&] {
    const Box2 box = bounds(path);
    return std::max(dot(box.low, direction), dot(box.high, direction));
  }();
  Box2 tips;
  for (std::size_t i = 0; i < path.size(); ++i) {
    const ArcSegment s = path.segment(i);
    std::array<Vec2, 3> candidates{s.a, s.b, s.a};
    if (!s.straight()) {
      const Vec2 top = s.centre() + s.radius() * direction;
      if (s.distance_to(top) < 1e-6) candidates[2] = top;
    }
    for (const Vec2 p : candidates) {
      if (dot(p, direction) > far - 0.02) tips.add(p);
    }
  }
  return tips.empty() ? path.vertices.front().at : tips.centre();
}

}  // namespace

NestLabels place_labels(const std::vector<ClosedArcPath>& outlines, double height, double widest) {
  NestLabels best;
  double best_spread = -1.0;
  for (const Side side : {Side::kRight, Side::kLeft, Side::kTop, Side::kBottom}) {
    const Vec2 direction = direction_of(side);
    std::vector<Vec2> tips;
    for (const ClosedArcPath& path : outlines) tips.push_back(tip_of(path, direction));
    double low = dot(tips.front(), direction);
    double high = low;
    for (const Vec2 tip : tips) {
      low = std::min(low, dot(tip, direction));
      high = std::max(high, dot(tip, direction));
    }
    if (high - low <= best_spread + 1e-6) continue;
    best_spread = high - low;
    best = {side, {}, {}};
    const bool column = side == Side::kRight || side == Side::kLeft;
    const double step = column ? height * 1.75 : widest + height * 0.8;
    const Vec2 across = left_of(direction);
    // The outermost outline's leader runs straight out, each further in ends one step to the left: none
    // crosses another.
    std::vector<std::size_t> order(tips.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      return dot(tips[a], direction) > dot(tips[b], direction);
    });
    // The fan opens towards the side on which the inner tips lie, or to the left where they lie straight
    // behind.
    const double level = dot(tips[order.front()], across);
    const double turn = level > dot(tips[order.back()], across) + 1e-6 ? -1.0 : 1.0;
    for (std::size_t rank = 0; rank < order.size(); ++rank) {
      const double shift = turn * static_cast<double>(rank) * step;
      const Vec2 elbow = (high + kReach) * direction + (level + shift) * across;
      best.labels.push_back({order[rank], tips[order[rank]], elbow});
      best.box.add(tips[order[rank]]);
      best.box.add(Box2{elbow, elbow}.grown(height));
      best.box.add(elbow + (column ? widest + height : height * 2.2) * direction);
      if (!column) best.box.add(Box2{elbow, elbow}.grown(widest / 2));
    }
  }
  return best;
}

}  // namespace lastwright
