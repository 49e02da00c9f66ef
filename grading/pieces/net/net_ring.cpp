#include "grading/pieces/net/net_ring.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "geometry/curve/curve_measure.hpp"
#include "geometry/curve/nearest.hpp"
#include "geometry/inset/parallel_curve.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

// What is left of a curve between its joints is nothing below this: a thousandth of a segment that can be
// cut, and above the rounding of drawings.
constexpr double kNothing = 1e-3;
// Ends that nearly meet and do not cross are taken together within this: half the budget of an offset.
constexpr double kEndGap = 0.5 * tolerance::kOffset.value();
// Where a curved edge goes straight on to its corner, that straight begins beside the corner of the net line.
// A neighbour that runs on by a curve which the drawing does not show is led there from this near.
constexpr double kLedTo = 0.25;
// Two curves that meet at less than this cross where the third decimal of a drawing lets them, and by so much
// that decimal may put an end beside its curve.
constexpr double kFlat = 0.1;  // radians
constexpr double kOnCurve = 1e-3;
constexpr double kRunOn = 6.0;  // times the larger allowance: further than a corner may reach (mitre limit 4)

Problem no_net(std::string message) {
  return {Trouble::kGeometry, std::move(message), {}, {}, {}};
}

// Half way between two ends.
RingJoint together(const LongCurve& one, const LongCurve& two) {
  LongPlace a = one.end();
  LongPlace b = two.start();
  a.at = b.at = lerp(a.at, b.at, 0.5);
  return {a, b};
}

// Where the end of one, or the start of the other, is on the other one.
std::optional<RingJoint> end_on(const LongCurve& one, const LongCurve& two) {
  const NearestPoint on_two = nearest(two.own(), one.end().at);
  const NearestPoint on_one = nearest(one.own(), two.start().at);
  if (std::min(on_one.distance, on_two.distance) > kOnCurve) return std::nullopt;
  if (on_two.distance <= on_one.distance) return RingJoint{one.end(), {1, on_two.t, one.end().at}};
  return RingJoint{{1, on_one.t, two.start().at}, two.start()};
}

class Ring {
 public:
  Ring(const std::vector<RingCurve>& curves, const std::vector<bool>& corner,
       const std::vector<BoundEdge>& edges, std::span<const std::size_t> next)
      : curves_(curves), edges_(edges), next_(next), left_(edges.size(), 0) {
    for (std::size_t i = 0; i < curves.size(); ++i) {
      if (corner[i] || !curves[i].moved) continue;
      ring_.push_back({i, *curves[i].moved, {}, {}});
      ++left_[curves[i].edge];
    }
  }

  Result<std::vector<BoundEdge>> run() {
    for (std::size_t e = 0; e < edges_.size(); ++e) {
      if (left_[e] == 0) return used_up(e);
    }
    while (true) {
      if (ring_.size() < 2) return used_up(curves_[ring_.front().curve].edge);
      if (Status met = join(); !met) return met.problem();
      const Result<bool> all = take_out();
      if (!all) return all.problem();
      if (*all) return chains();
    }
  }

 private:
  struct Member {
    std::size_t curve;
    LongCurve moved;
    std::optional<RingJoint> after;  // with the next one
    std::optional<Vec2> near;        // where something vanished between the two
  };

  [[nodiscard]] std::size_t next(std::size_t i) const { return i + 1 == ring_.size() ? 0 : i + 1; }
  [[nodiscard]] std::size_t before(std::size_t i) const { return i == 0 ? ring_.size() - 1 : i - 1; }
  [[nodiscard]] const LongCurve& moved(std::size_t i) const { return ring_[i].moved; }
  [[nodiscard]] const EdgeSpec& edge(std::size_t i) const {
    return edges_[curves_[ring_[i].curve].edge].spec;
  }

  // At which of the places where they meet a member is joined to the one after it.
  [[nodiscard]] std::size_t place_of(std::size_t i) const {
    const std::size_t e = curves_[ring_[next(i)].curve].edge;
    return next_.empty() || curves_[ring_[i].curve].edge == e || ring_[i].near ? 0 : next_[e];
  }

  [[nodiscard]] Problem used_up(std::size_t e) const {
    return no_net("its allowance and those beside it leave nothing of the net line of this edge")
        .in("edge", edges_[e].spec.name);
  }

  Status join() {
    for (std::size_t i = 0; i < ring_.size(); ++i) {
      if (ring_[i].after) continue;
      ring_[i].after = joint_of(moved(i), moved(next(i)), place_of(i), ring_[i].near);
      if (ring_[i].after) {
        lead_to_mark(i);
        continue;
      }
      const Vec2 at = end_of(curves_[ring_[i].curve].drawn);
      return no_net(fmt::format("the net line does not close at ({:.3f}, {:.3f}): moved inward by their "
                                "allowances, the edges {} and {} do not meet",
                                at.x, at.y, edge(i).name, edge(next(i)).name))
          .in("edge", edge(i).name);
    }
    return Done{};
  }

  [[nodiscard]] bool curved(std::size_t i) const { return !std::holds_alternative<Line>(moved(i).own()); }
  // Whether one of the two is the straight on which the other, a curved one of the same edge, goes on.
  [[nodiscard]] bool goes_straight_on(std::size_t i, std::size_t k) const {
    constexpr double kSmooth = 1e-3;  // radians
    return curves_[ring_[i].curve].edge == curves_[ring_[k].curve].edge && curved(i) != curved(k) &&
           std::abs(angle_between(tangent_at(moved(i).own(), 1.0), tangent_at(moved(k).own(), 0.0))) <
               kSmooth;
  }

  void lead_to_mark(std::size_t i) {
    const std::size_t k = next(i);
    RingJoint& joint = *ring_[i].after;
    const auto off = [](double mm) { return std::abs(mm) > kNothing && std::abs(mm) <= kLedTo; };
    if (!curved(i) && curved(k) && joint.on_two.part == 0 && goes_straight_on(before(i), i) &&
        off(moved(i).position(joint.on_one))) {
      joint.on_one = moved(i).start();
      ring_[k].moved.run_back_to(joint.on_one.at);
      joint.on_two = {0, 0.0, joint.on_one.at};
    } else if (curved(i) && !curved(k) && joint.on_one.part == 2 && goes_straight_on(k, next(k)) &&
               off(moved(k).length() - moved(k).position(joint.on_two))) {
      joint.on_two = moved(k).end();
      ring_[i].moved.run_on_to(joint.on_two.at);
      joint.on_one = {2, 1.0, joint.on_two.at};
    }
  }

  // What is left between the joints of a member.
  [[nodiscard]] double rest(std::size_t i) const {
    return moved(i).position(ring_[i].after->on_one) - moved(i).position(ring_[before(i)].after->on_two);
  }

  // Takes out what vanished; where nothing did, what is most used up. True when nothing had to be.
  Result<bool> take_out() {
    std::vector<bool> out(ring_.size(), false);
    bool vanished = false;
    std::size_t worst = ring_.size();
    double least = -kNothing;
    for (std::size_t i = 0; i < ring_.size(); ++i) {
      const double here = rest(i);
      if (std::abs(here) <= kNothing) {
        out[i] = vanished = true;
      } else if (here < least) {
        least = here;
        worst = i;
      }
    }
    if (!vanished) {
      if (worst == ring_.size()) return true;
      out[worst] = true;
    }
    for (std::size_t i = 0; i < ring_.size(); ++i) {
      const std::size_t e = curves_[ring_[i].curve].edge;
      if (out[i] && --left_[e] == 0) return used_up(e);
    }
    std::vector<Member> kept;
    std::optional<Vec2> near_first;
    for (std::size_t i = 0; i < ring_.size(); ++i) {
      if (!out[i]) {
        kept.push_back(ring_[i]);
        continue;
      }
      const std::optional<Vec2> near =
          vanished ? std::optional(ring_[i].after->on_one.at) : std::optional<Vec2>{};
      if (kept.empty()) {
        near_first = near;
        open_last_ = true;
      } else {
        kept.back().after.reset();
        kept.back().near = near;
      }
    }
    if (open_last_) {
      kept.back().after.reset();
      kept.back().near = near_first;
      open_last_ = false;
    }
    ring_ = std::move(kept);
    return false;
  }

  Result<std::vector<BoundEdge>> chains() const {
    RawOutline all;
    std::vector<RawOutline> raw(edges_.size());
    // The ring may start inside an edge that goes round its start.
    std::size_t first = 0;
    for (std::size_t i = 0; i < ring_.size(); ++i) {
      if (curves_[ring_[i].curve].edge == 0 && curves_[ring_[before(i)].curve].edge != 0) first = i;
    }
    for (std::size_t k = 0; k < ring_.size(); ++k) {
      const std::size_t i = (first + k) % ring_.size();
      std::vector<Curve> part = moved(i).between(ring_[before(i)].after->on_two, ring_[i].after->on_one);
      RawOutline& of = raw[curves_[ring_[i].curve].edge];
      all.curves.insert(all.curves.end(), part.begin(), part.end());
      of.curves.insert(of.curves.end(), part.begin(), part.end());
    }
    double area = 0.0;
    for (const Curve& curve : all.curves) area += swept_area(curve, start_of(all.curves.front()), 1e-3);
    if (!(area > 0.0)) return no_net("the allowances leave nothing of the net line");
    if (const auto outline = make_closed_outline(std::move(all), tolerance::kSamePoint); !outline) {
      Problem problem = outline.problem();
      problem.message = "the net line inside the drawn cut line: " + problem.message;
      return problem;
    }
    std::vector<BoundEdge> made;
    for (std::size_t e = 0; e < edges_.size(); ++e) {
      Result<OpenChain> chain = make_open_chain(std::move(raw[e]), tolerance::kSamePoint);
      if (!chain) return chain.problem().in("edge", edges_[e].spec.name);
      made.push_back({edges_[e].spec, *std::move(chain)});
    }
    return made;
  }

  const std::vector<RingCurve>& curves_;
  const std::vector<BoundEdge>& edges_;
  std::span<const std::size_t> next_;
  std::vector<std::size_t> left_;  // curves of each edge
  std::vector<Member> ring_;
  bool open_last_ = false;
};

}  // namespace

std::optional<RingJoint> joint_of(const LongCurve& one, const LongCurve& two, std::size_t next,
                                  std::optional<Vec2> near) {
  const double gap = distance(one.end().at, two.start().at);
  const double turn = angle_between(tangent_at(one.own(), 1.0), tangent_at(two.own(), 0.0));
  // Where they turn this little, half way between the ends is on both of them.
  if (gap <= tolerance::kNode.value() || 0.5 * gap * std::abs(turn) <= tolerance::kNode.value())
    return gap <= kEndGap && next == 0 ? std::optional(together(one, two)) : std::nullopt;
  std::vector<std::pair<double, RingJoint>> joints;
  for (const LongCrossing& c : crossings(one, two)) {
    double cost = std::abs(one.length() - one.position(c.on_one)) + std::abs(two.position(c.on_two));
    if (near && distance(c.on_one.at, *near) <= kEndGap) cost = 0.0;
    joints.push_back({cost, {c.on_one, c.on_two}});
  }
  if (joints.empty() && gap <= kEndGap) joints.push_back({gap, together(one, two)});
  std::stable_sort(joints.begin(), joints.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  // Of a crossing as flat as this the last decimal of a drawing decides where it is; an end that lies on the
  // other curve, or as near as makes no difference, may be where the corner was.
  if (std::abs(turn) < kFlat) {
    if (const std::optional<RingJoint> end = end_on(one, two)) joints.push_back({0.0, *end});
  }
  return next < joints.size() ? std::optional(joints[next].second) : std::nullopt;
}

Result<std::vector<RingCurve>> ring_curves(const std::vector<BoundEdge>& edges,
                                           std::span<const Millimetres> allowances) {
  std::vector<RingCurve> ring;
  double widest = 0.0;
  for (const Millimetres allowance : allowances) widest = std::max(widest, allowance.value());
  for (std::size_t e = 0; e < edges.size(); ++e) {
    for (const Curve& curve : edges[e].chain.curves()) {
      for (Curve& part : smooth_parts(curve)) ring.push_back({e, std::move(part), allowances[e].value(), {}});
    }
  }
  if (ring.size() == 1) {  // joints are between two curves
    RingCurve second = ring.front();
    second.drawn = part_of(ring.front().drawn, 0.5, 1.0);
    ring.front().drawn = part_of(ring.front().drawn, 0.0, 0.5);
    ring.push_back(std::move(second));
  }
  for (RingCurve& one : ring) {
    Result<Curve> moved = parallel_curve(one.drawn, Millimetres(one.inward));
    if (moved) {
      one.moved.emplace(*std::move(moved), kRunOn * widest);
    } else if (std::holds_alternative<Spline>(one.drawn)) {
      Problem problem = moved.problem();
      problem.message = "the allowance leaves no net line inside this curve: " + problem.message;
      return problem.in("edge", edges[one.edge].spec.name);
    }
  }
  return ring;
}

Result<std::vector<BoundEdge>> joined_ring(const std::vector<RingCurve>& curves,
                                           const std::vector<bool>& corner,
                                           const std::vector<BoundEdge>& edges,
                                           std::span<const std::size_t> next) {
  return Ring(curves, corner, edges, next).run();
}

}  // namespace lastwright
