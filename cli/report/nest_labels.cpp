#include "cli/report/nest_labels.hpp"

#include <algorithm>
#include <array>

namespace lastwright {

namespace {

constexpr double kReach = 9.0;   // from the outermost outline to the labels
constexpr double kPitch = 1.75;  // from label to label, in heights

// The point of the outline farthest in a direction; of a straight end the one farthest along `then`, or its
// middle where `then` is nothing.
Vec2 tip_of(const ClosedArcPath& path, Vec2 direction, Vec2 then) {
  const Box2 box = bounds(path);
  const double far = std::max(dot(box.low, direction), dot(box.high, direction));
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
  if (tips.empty()) return path.vertices.front().at;
  if (then == Vec2{}) return tips.centre();
  return dot(tips.high - tips.low, then) > 0.0 ? tips.high : tips.low;
}

struct Spread {
  std::vector<Vec2> tips;
  double low = 0.0;  // of the tips, in the direction
  double high = 0.0;
  std::vector<std::size_t> order;  // farthest first
};

Spread spread_of(const std::vector<ClosedArcPath>& outlines, Vec2 direction, Vec2 then) {
  Spread spread;
  for (const ClosedArcPath& path : outlines) spread.tips.push_back(tip_of(path, direction, then));
  const auto reach = [&](std::size_t i) { return dot(spread.tips[i], direction); };
  for (std::size_t i = 0; i < outlines.size(); ++i) spread.order.push_back(i);
  std::stable_sort(spread.order.begin(), spread.order.end(),
                   [&](std::size_t a, std::size_t b) { return reach(a) > reach(b); });
  spread.high = reach(spread.order.front());
  spread.low = reach(spread.order.back());
  return spread;
}

// Tips one behind the other as seen from the labels: the outermost leader runs straight out, each further in
// ends one step up or down, on the side to which the inner tips lie.
NestLabels fan(const Spread& spread, Side side, double step) {
  NestLabels placed{side, {}, {}};
  const double out = side == Side::kRight ? 1.0 : -1.0;
  const double x = out * (spread.high + kReach);
  const double level = spread.tips[spread.order.front()].y;
  const double turn = spread.tips[spread.order.back()].y < level - 1e-6 ? -1.0 : 1.0;
  for (std::size_t rank = 0; rank < spread.order.size(); ++rank) {
    const std::size_t i = spread.order[rank];
    placed.labels.push_back({i, spread.tips[i], {x, level + turn * static_cast<double>(rank) * step}});
  }
  return placed;
}

// Tips one above the other: the labels in the same order beside them.
NestLabels column(const Spread& spread, Side side, double x, double step) {
  NestLabels placed{side, {}, {}};
  const std::size_t n = spread.order.size();
  double low = spread.tips[0].y;
  double high = low;
  for (const Vec2 tip : spread.tips) {
    low = std::min(low, tip.y);
    high = std::max(high, tip.y);
  }
  const double pitch = n > 1 ? std::max(step, (high - low) / static_cast<double>(n - 1)) : step;
  std::vector<std::size_t> order = spread.order;
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return spread.tips[a].y > spread.tips[b].y; });
  double y = 0.5 * (low + high) + 0.5 * pitch * static_cast<double>(n - 1);
  for (const std::size_t i : order) {
    placed.labels.push_back({i, spread.tips[i], {x, y}});
    y -= pitch;
  }
  return placed;
}

}  // namespace

NestLabels place_labels(const std::vector<ClosedArcPath>& outlines, double height, double widest) {
  const Spread right = spread_of(outlines, {1, 0}, {});
  const Spread left = spread_of(outlines, {-1, 0}, {});
  const Spread top = spread_of(outlines, {0, 1}, {1, 0});
  const Spread bottom = spread_of(outlines, {0, -1}, {1, 0});
  const auto open = [](const Spread& s) { return s.high - s.low; };
  const double step = kPitch * height;
  const double widest_open = std::max({open(right), open(left), open(top), open(bottom)}) - 1e-6;
  NestLabels placed;
  if (open(right) >= widest_open) {
    placed = fan(right, Side::kRight, step);
  } else if (open(left) >= widest_open) {
    placed = fan(left, Side::kLeft, step);
  } else {
    const bool up = open(top) >= widest_open;
    const double middle = 0.5 * (right.high - left.high);
    const Side side = (up ? top : bottom).tips.front().x < middle ? Side::kLeft : Side::kRight;
    const Vec2 then{side == Side::kLeft ? -1.0 : 1.0, 0.0};
    placed = column(spread_of(outlines, {0, up ? 1.0 : -1.0}, then), side,
                    side == Side::kLeft ? -left.high - kReach : right.high + kReach, step);
  }
  const double out = placed.side == Side::kRight ? 1.0 : -1.0;
  for (const NestLabel& label : placed.labels) {
    placed.box.add(label.tip);
    placed.box.add(Box2{label.elbow, label.elbow}.grown(height));
    placed.box.add(label.elbow + Vec2{out * (widest + height), 0.0});
  }
  return placed;
}

}  // namespace lastwright
