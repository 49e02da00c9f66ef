// Where bars may stiffen a die, and hold cut-outs made of rule to it.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "geometry/check/segment_gap.hpp"
#include "geometry/counted.hpp"
#include "grading/dies/order/die_making.hpp"

namespace lastwright {

namespace {

constexpr double kRoom = 5.0;  // mm beside a bar, for the ejection of a punch
constexpr double kStep = 1.0;  // mm between the places that are tried

// How far along a line of the plane it crosses the outline, of points within 0.1 mm of it; in rising order.
std::vector<double> crossings_of(const std::vector<Vec2>& outline, Vec2 on, Vec2 along) {
  std::vector<double> crossings;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Vec2 a = outline[i];
    const Vec2 b = outline[(i + 1) % outline.size()];
    const double da = cross(along, a - on);
    const double db = cross(along, b - on);
    if ((da > 0.0) == (db > 0.0)) continue;
    crossings.push_back(dot(along, lerp(a, b, da / (da - db)) - on));
  }
  std::sort(crossings.begin(), crossings.end());
  return crossings;
}

// The longest stretch of a line of the plane inside the outline.
std::optional<Bridge> chord_at(const std::vector<Vec2>& outline, Vec2 on, Vec2 along) {
  const std::vector<double> crossings = crossings_of(outline, on, along);
  std::optional<Bridge> longest;
  for (std::size_t i = 0; i + 1 < crossings.size(); i += 2) {
    if (longest && crossings[i + 1] - crossings[i] <= distance(longest->from, longest->to)) continue;
    longest = Bridge{on + crossings[i] * along, on + crossings[i + 1] * along};
  }
  return longest;
}

// How much room there is beside a bar, to the rims of punches and to cut-outs; none where it meets one.
double room_beside(const DieShape& shape, const Bridge& bridge) {
  const ArcSegment bar{bridge.from, bridge.to, 0.0};
  double room = std::numeric_limits<double>::infinity();
  for (const GradedHole& hole : shape.holes)
    room = std::min(room, bar.distance_to(hole.centre) - hole.radius);
  for (const ClosedArcPath& cut_out : shape.cut_outs) {
    if (contains(cut_out, lerp(bridge.from, bridge.to, 0.5))) return 0.0;
    for (std::size_t i = 0; i < cut_out.size(); ++i)
      room = std::min(room, gap_between(cut_out.segment(i), bar).distance);
  }
  return std::max(room, 0.0);
}

Radians longer_side_level(const ClosedArcPath& path, Radians upright) {
  const Box2 box = bounds(placed(path, upright, {}));
  return box.width() >= box.height() ? upright : Radians(upright.value() + 0.5 * std::numbers::pi);
}

// The places across a piece at which a bar is tried: level where its longer side is.
class BarsAcross {
 public:
  BarsAcross(const DieShape& shape, Radians box_turn)
      : shape_(shape),
        turn_(longer_side_level(shape.cut.path, box_turn)),
        box_(bounds(placed(shape.cut.path, turn_, {}))),
        outline_(flattened(shape.cut.path, Millimetres(0.1))) {}

  [[nodiscard]] double length() const { return box_.width(); }
  // So far along. The nearest place with room enough, else the one with most room if it is `least` or more.
  [[nodiscard]] std::optional<Bridge> near(double along, double reach, double least) const {
    std::optional<Bridge> best;
    double most = least;
    const int steps = static_cast<int>(std::floor(reach / kStep));
    for (int step = 0; step <= 2 * steps; ++step) {
      const double aside = (step % 2 == 0 ? 1.0 : -1.0) * kStep * static_cast<double>((step + 1) / 2);
      const std::optional<Bridge> bridge = at(along + aside);
      if (!bridge) continue;
      const double room = room_beside(shape_, *bridge);
      if (room >= kRoom) return bridge;
      if (room < most || (best && room <= most)) continue;
      most = room;
      best = bridge;
    }
    return best;
  }

 private:
  [[nodiscard]] std::optional<Bridge> at(double along) const {
    const Vec2 level{box_.low.x + along, box_.centre().y};
    return chord_at(outline_, turned(level, -turn_.value()), left_of(turned({1.0, 0.0}, -turn_.value())));
  }

  const DieShape& shape_;
  Radians turn_;  // its longer side is level then
  Box2 box_;
  std::vector<Vec2> outline_;
};

// From a cut-out to the nearest other rule, and from its other side on the same line.
void hold_cut_out(const DieShape& shape, std::size_t k, std::vector<Bridge>& bridges) {
  PathGap gap = gap_between(shape.cut.path, shape.cut_outs[k]);
  bridges.push_back({gap.on_second, gap.on_first, true});
  const Vec2 centre = bounds(shape.cut_outs[k]).centre();
  const Vec2 away = norm(centre - gap.on_first) > 1e-9 ? unit(centre - gap.on_first) : Vec2{1.0, 0.0};
  // The far side of the cut-out, and the outline behind it.
  const auto along = [&](const ClosedArcPath& path, bool last) {
    std::vector<double> ahead = crossings_of(flattened(path, Millimetres(0.1)), centre, away);
    std::erase_if(ahead, [](double s) { return s <= 0.0; });
    return ahead.empty() ? -1.0 : last ? ahead.back() : ahead.front();
  };
  const double from = along(shape.cut_outs[k], true);
  const double to = along(shape.cut.path, false);
  if (from > 0.0 && to > from) bridges.push_back({centre + from * away, centre + to * away, true});
}

// Which work leaves no place.
std::string in_the_way(const DieShape& shape) {
  return shape.cut_outs.empty() ? "punches lie"
         : shape.holes.empty()  ? "cut-outs lie"
                                : "punches and cut-outs lie";
}

}  // namespace

BridgePlan proposed_bridges(const DieShape& shape, const DieFacts& facts, const DieLimits& limits,
                            Millimetres every, std::optional<Radians> box_turn) {
  BridgePlan plan;
  const BarsAcross across(shape, box_turn ? *box_turn : smallest_box_turn(shape.cut.path));
  const double length = across.length();
  const int count = static_cast<int>(std::ceil(length / every.value() - 1e-9)) - 1;
  const double spacing = length / (count + 1);
  const double least = std::min(kRoom, limits.hole_to_edge.value);
  int placed = 0;
  for (int k = 1; k <= count; ++k) {
    const std::optional<Bridge> bridge = across.near(spacing * k, 0.5 * spacing - kStep, least);
    if (!bridge) continue;
    plan.bridges.push_back(*bridge);
    ++placed;
  }
  if (placed < count)
    plan.missing = fmt::format(
        "{} of {} that the length of {:.1f} mm calls for {} no place, as {} nearer than {:g} mm to every bar "
        "across that was tried",
        count - placed,
        counted(static_cast<std::size_t>(count), "bridge to stiffen it", "bridges to stiffen it"), length,
        count - placed == 1 ? "has" : "have", in_the_way(shape), least);
  for (std::size_t k = 0; k < shape.cut_outs.size(); ++k) {
    if (!is_special_punch(facts.cut_out_facts[k], limits)) hold_cut_out(shape, k, plan.bridges);
  }
  return plan;
}

}  // namespace lastwright
