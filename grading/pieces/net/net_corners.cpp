#include "grading/pieces/net/net_corners.hpp"

#include <algorithm>
#include <cmath>

#include "grading/pieces/allowance.hpp"
#include "grading/pieces/corner_part.hpp"
#include "grading/pieces/mirror.hpp"

namespace lastwright {

namespace {

// Curves that a corner may put between two edges: the two legs of a step, or the arc of a round corner, with
// a jog or a piece of tangent at either end.
constexpr std::size_t kMostCornerCurves = 4;
// Times the wider allowance: what belongs to a corner lies within the mitre limit of 4, and its tip with it.
constexpr double kCornerReach = 4.5;

Vec2 mirrored_along(const Mirror& mirror, Vec2 direction) {
  return 2.0 * dot(direction, mirror.along) * mirror.along - direction;
}

// A curve that only goes on where another one ends is no part of a corner, but for the arc of a round one.
bool goes_on(const Curve& one, const Curve& two, OffsetCorner form) {
  if (form == OffsetCorner::kRound) return false;
  constexpr double kOnward = 2e-3;  // radians
  return std::abs(angle_between(tangent_at(one, 1.0), tangent_at(two, 0.0))) < kOnward;
}

// Nor may it be one, unless it is the straight on which a curved edge runs on to its corner.
bool only_goes_on(const Curve& edge, const Curve& part, bool goes_on) {
  return goes_on && (std::holds_alternative<Line>(edge) || !std::holds_alternative<Line>(part));
}

}  // namespace

Result<NetCorners> NetCorners::of(const BoundPiece& drawn, std::span<const Millimetres> allowances) {
  NetCorners corners(drawn, allowances);
  Result<std::vector<RingCurve>> ring = ring_curves(drawn.edges, allowances);
  if (!ring) return ring.problem();
  corners.curves_ = *std::move(ring);
  corners.starts_.assign(drawn.edges.size(), 0);
  corners.counts_.assign(drawn.edges.size(), 0);
  for (std::size_t i = 0; i < corners.curves_.size(); ++i) {
    const std::size_t e = corners.curves_[i].edge;
    if (corners.counts_[e]++ == 0) corners.starts_[e] = i;
  }
  return corners;
}

bool NetCorners::on_fold(std::size_t i) const {
  return piece_->spec.fold && piece_->edges[curves_[i].edge].spec.name == *piece_->spec.fold;
}

// As many curves of either edge as a corner may have at the most.
CornerPart NetCorners::most(std::size_t e) const {
  const std::size_t start = starts_[e];
  const auto of = [&](std::size_t i) {
    return on_fold(i) ? 0 : std::min(kMostCornerCurves, counts_[curves_[i].edge] - 1);
  };
  return {of(back(start)), of(start), 0};
}

NetCorners::Around NetCorners::around(std::size_t e, const CornerPart& part) const {
  Around here;
  here.one = back(starts_[e]);
  for (std::size_t n = 0; n < part.before; ++n) here.one = back(here.one);
  here.two = starts_[e];
  for (std::size_t n = 0; n < part.after; ++n) here.two = onward(here.two);
  if (part.before + part.after == 0) return here;
  for (std::size_t at = onward(here.one); at != here.two; at = onward(at)) here.between.push_back(at);
  return here;
}

std::vector<CornerPart> NetCorners::explained() const {
  std::vector<CornerPart> parts(starts_.size());
  std::vector<bool> taken(curves_.size(), false);
  const auto find = [&](std::size_t e) {
    const CornerPart most_here = most(e);
    for (std::size_t total = kMostCornerCurves; total > 0; --total) {
      for (std::size_t k = 0; k <= std::min(total, most_here.before); ++k) {
        const CornerPart part{k, total - k, 0};
        if (part.after > most_here.after || !explains(e, part, taken)) continue;
        for (const std::size_t i : around(e, part).between) taken[i] = true;
        parts[e] = part;
        return;
      }
    }
  };
  for (std::size_t e = 0; e < starts_.size(); ++e) find(e);
  return parts;
}

// Whether the form of the corner where edge `e` starts puts just this there.
bool NetCorners::explains(std::size_t e, const CornerPart& part, const std::vector<bool>& taken) const {
  const Around here = around(e, part);
  const RingCurve& one = curves_[here.one];
  const RingCurve& two = curves_[here.two];
  if (here.one == here.two || taken[here.one] || taken[here.two] || !one.moved || !two.moved) return false;
  CornerTrial trial;
  for (const std::size_t at : here.between) {
    if (taken[at]) return false;
    trial.corner.push_back(curves_[at].drawn);
  }
  trial.form = corner_form(piece_->spec, piece_->edges[e].spec.from);
  if (part.before > 0 && goes_on(one.drawn, trial.corner.front(), trial.form)) return false;
  if (part.after > 0 && goes_on(trial.corner.back(), two.drawn, trial.form)) return false;
  const std::optional<RingJoint> joint = joint_of(*one.moved, *two.moved);
  if (!joint) return false;
  trial.vertex = joint->on_one.at;
  trial.in = one.moved->tangent(joint->on_one);
  trial.out = two.moved->tangent(joint->on_two);
  trial.bends_in = one.moved->curvature(joint->on_one);
  trial.bends_out = two.moved->curvature(joint->on_two);
  trial.before = allowances_[one.edge];
  trial.after = allowances_[two.edge];
  for (const std::size_t edge : {one.edge, two.edge}) {
    const auto& chain = piece_->edges[edge].chain.curves();
    trial.edges.insert(trial.edges.end(), chain.begin(), chain.end());
  }
  if (on_fold(here.one)) {
    const Mirror mirror{trial.vertex, trial.in};
    trial.drawn_side = left_of(trial.in);
    trial.in = -mirrored_along(mirror, trial.out);
    trial.bends_in = trial.bends_out;
    trial.before = trial.after;
  } else if (on_fold(here.two)) {
    const Mirror mirror{trial.vertex, trial.out};
    trial.drawn_side = left_of(trial.out);
    trial.out = -mirrored_along(mirror, trial.in);
    trial.bends_out = trial.bends_in;
    trial.after = trial.before;
  }
  return makes_corner(trial);
}

// Whether the curves beside a part meet once more, where all of it is within reach.
bool NetCorners::within_reach(const Around& here, std::size_t place) const {
  const RingCurve& one = curves_[here.one];
  const RingCurve& two = curves_[here.two];
  const std::optional<RingJoint> joint = joint_of(*one.moved, *two.moved, place);
  if (!joint) return false;
  const double reach = kCornerReach * std::max(one.inward, two.inward);
  const auto near = [&](Vec2 p) { return distance(joint->on_one.at, p) <= reach; };
  if (here.between.empty()) return near(end_of(one.drawn));
  return std::all_of(here.between.begin(), here.between.end(), [&](std::size_t i) {
    return near(start_of(curves_[i].drawn)) && near(end_of(curves_[i].drawn));
  });
}

std::vector<CornerPart> NetCorners::possible(std::size_t e) const {
  constexpr std::size_t kMostPlaces = 3;  // where two circles meet, or the end of one is taken for it
  std::vector<CornerPart> parts{{}};
  const CornerPart most_here = most(e);
  const OffsetCorner form = corner_form(piece_->spec, piece_->edges[e].spec.from);
  for (std::size_t k = 0; k <= most_here.before; ++k) {
    for (std::size_t m = 0; m <= most_here.after && k + m <= kMostCornerCurves; ++m) {
      const Around here = around(e, {k, m, 0});
      const RingCurve& one = curves_[here.one];
      const RingCurve& two = curves_[here.two];
      if (here.one == here.two || !one.moved || !two.moved) continue;
      const auto part = [&](std::size_t i) -> const Curve& { return curves_[i].drawn; };
      if (k > 0 && only_goes_on(one.drawn, part(here.between.front()),
                                goes_on(one.drawn, part(here.between.front()), form)))
        continue;
      if (m > 0 && only_goes_on(two.drawn, part(here.between.back()),
                                goes_on(part(here.between.back()), two.drawn, form)))
        continue;
      for (std::size_t place = k + m == 0 ? 1 : 0; place < kMostPlaces; ++place) {
        if (within_reach(here, place)) parts.push_back({k, m, place});
      }
    }
  }
  return parts;
}

Result<std::vector<BoundEdge>> NetCorners::net(const std::vector<CornerPart>& parts) const {
  std::vector<bool> corner(curves_.size(), false);
  for (std::size_t e = 0; e < parts.size(); ++e) {
    for (const std::size_t i : around(e, parts[e]).between) corner[i] = true;
  }
  std::vector<std::size_t> places;
  for (const CornerPart& part : parts) places.push_back(part.place);
  return joined_ring(curves_, corner, piece_->edges, places);
}

PieceSpec NetCorners::spec(const std::vector<CornerPart>& parts) const {
  PieceSpec spec = piece_->spec;
  for (std::size_t e = 0; e < parts.size(); ++e) {
    if (parts[e].before + parts[e].after > 0 || !drawn_mitred(e)) continue;
    for (CornerSpec& corner : spec.corners) {
      if (corner.name == piece_->edges[e].spec.from) corner.form = CornerForm::kMitre;
    }
  }
  return spec;
}

// A corner in full would end in a step, which is not there.
bool NetCorners::drawn_mitred(std::size_t e) const {
  const std::size_t i = starts_[e];
  const std::size_t a = back(i);
  if (on_fold(a) || on_fold(i) || !curves_[a].moved || !curves_[i].moved) return false;
  if (corner_form(piece_->spec, piece_->edges[e].spec.from) != OffsetCorner::kFull) return false;
  const std::optional<RingJoint> joint = joint_of(*curves_[a].moved, *curves_[i].moved);
  if (!joint) return false;
  const Vec2 in = curves_[a].moved->tangent(joint->on_one);
  const Vec2 out = curves_[i].moved->tangent(joint->on_two);
  const double one = allowances_[curves_[a].edge].value();
  const double two = allowances_[curves_[i].edge].value();
  const double narrow = std::min(one, two);
  const double wide = std::max(one, two);
  return cross(in, out) > 0.0 && narrow < wide * dot(in, out);
}

}  // namespace lastwright
