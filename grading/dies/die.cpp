#include "grading/dies/die.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <tuple>

#include "geometry/check/inscribed_circle.hpp"
#include "geometry/check/segment_gap.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

void keep_least(MaybeLength& least, double value, Vec2 at) {
  if (!least || value < least->value) least = PlacedLength{value, at};
}

// The shortest stretch of a rule between two bends. A straight that runs on smoothly into a gentle arc, as a
// mitre's end does, is no short straight: the stretch is both together.
void measure_straights(const ClosedArcPath& path, RuleBends& bends) {
  const std::size_t n = path.size();
  const auto tight = [&](std::size_t i) {
    const ArcSegment arc = path.segment(i % n);
    const double bow = 0.5 * std::abs(arc.bulge) * arc.chord();
    return !arc.straight() && bow >= tolerance::kFlatBow.value() && arc.radius() < kGentle.value();
  };
  const auto bend_after = [&](std::size_t i) {
    const ArcSegment here = path.segment(i % n);
    const ArcSegment next = path.segment((i + 1) % n);
    return tight(i) != tight(i + 1) ||
           std::abs(angle_between(here.tangent_at(1.0), next.tangent_at(0.0))) >= kKink.value();
  };
  std::size_t first = 0;
  while (first < n && !bend_after(first)) ++first;
  if (first == n) return;  // one smooth loop
  for (std::size_t k = 1, from = first + 1; k <= n; ++k) {
    if (!bend_after(first + k)) continue;
    double stretch = 0.0;
    for (std::size_t i = from; i <= first + k; ++i) stretch += path.segment(i % n).length();
    if (!tight(from)) keep_least(bends.straight, stretch, path.segment(from % n).point_at(0.5));
    from = first + k + 1;
  }
}

// Radii, corners of one rule. `material_left`: the material lies left of the direction of travel.
void measure_rule(const ClosedArcPath& path, bool material_left, DieFacts& facts, RuleBends& bends) {
  measure_straights(path, bends);
  const std::size_t n = path.size();
  for (std::size_t i = 0; i < n; ++i) {
    const ArcSegment here = path.segment(i);
    const ArcSegment next = path.segment((i + 1) % n);
    keep_least(facts.shortest_segment, here.length(), here.point_at(0.5));
    const double bow = 0.5 * std::abs(here.bulge) * here.chord();
    if (!here.straight() && bow >= tolerance::kFlatBow.value()) {
      const bool outside = (here.bulge > 0.0) == material_left;
      keep_least(outside ? bends.radius_outside : bends.radius_inside, here.radius(), here.point_at(0.5));
    }
    const double turn = angle_between(here.tangent_at(1.0), next.tangent_at(0.0));
    if (std::abs(turn) < kKink.value()) continue;
    const Corner corner{Radians(std::numbers::pi - (material_left ? turn : -turn)), next.a};
    if (std::abs(turn) < tolerance::kCorner.value()) facts.breaks.push_back(corner);
    if (std::abs(turn) >= kRealCorner.value()) bends.corners.push_back(corner);
  }
}

void find_sharpest(DieFacts& facts) {
  const auto turn_of = [](const Corner& corner) {
    return std::abs(std::numbers::pi - corner.inside.value());
  };
  std::optional<Corner> outside;
  facts.sharpest_inside.reset();
  for (const Corner& corner : facts.corners) {
    std::optional<Corner>& kind = corner.inside.value() > std::numbers::pi ? facts.sharpest_inside : outside;
    if (!kind || turn_of(corner) > turn_of(*kind)) kind = corner;
  }
  const bool inside = facts.sharpest_inside &&
                      (!outside || turn_of(*facts.sharpest_inside) > turn_of(*outside) + kAsSharp.value());
  facts.sharpest = inside ? facts.sharpest_inside : outside;
}

void measure_holes(const DieShape& shape, DieFacts& facts) {
  for (std::size_t i = 0; i < shape.holes.size(); ++i) {
    const GradedHole& hole = shape.holes[i];
    if (hole.radius <= 0.0) {
      ++facts.pricks;
      continue;
    }
    ++facts.punches;
    facts.area -= std::numbers::pi * hole.radius * hole.radius;
    keep_least(facts.smallest_hole, 2.0 * hole.radius, hole.centre);
    keep_least(facts.hole_to_edge, distance_to(shape.cut.path, hole.centre) - hole.radius, hole.centre);
    for (const ClosedArcPath& cut_out : shape.cut_outs) {
      keep_least(facts.hole_to_edge, distance_to(cut_out, hole.centre) - hole.radius, hole.centre);
    }
    for (std::size_t j = 0; j < i; ++j) {
      const GradedHole& other = shape.holes[j];
      if (other.radius <= 0.0) continue;
      keep_least(facts.hole_to_hole, distance(hole.centre, other.centre) - hole.radius - other.radius,
                 hole.centre);
    }
  }
}

void measure_neck(const ClosedArcPath& path, RuleBends& bends) {
  const PathGap gap = narrowest_place(path, kLookOut);
  if (std::isfinite(gap.distance)) keep_least(bends.neck, gap.distance, gap.on_first);
}

void measure_gaps(const DieShape& shape, DieFacts& facts) {
  for (std::size_t i = 0; i < shape.cut_outs.size(); ++i) {
    const PathGap to_edge = gap_between(shape.cut.path, shape.cut_outs[i]);
    keep_least(facts.rule_gap, to_edge.distance, to_edge.on_second);
    for (std::size_t j = 0; j < i; ++j) {
      const PathGap between = gap_between(shape.cut_outs[j], shape.cut_outs[i]);
      keep_least(facts.rule_gap, between.distance, between.on_second);
    }
  }
}

// Cut-outs that differ by no more than arcs may lie from their curves, as the two of a pair that lies
// mirrored in a piece, are one shape: made alike, whatever limit lies between their figures.
void measure_twins_alike(std::vector<CutOutFacts>& cut_outs) {
  const double apart = tolerance::kArcFit.value();
  const auto twins = [apart](const CutOutFacts& one, const CutOutFacts& other) {
    return std::abs(one.width - other.width) <= apart && std::abs(one.length - other.length) <= apart &&
           std::abs(one.across - other.across) <= apart && std::abs(one.rule - other.rule) <= 4.0 * apart;
  };
  for (std::size_t k = 1; k < cut_outs.size(); ++k) {
    for (std::size_t first = 0; first < k; ++first) {
      if (!twins(cut_outs[first], cut_outs[k])) continue;
      CutOutFacts& one = cut_outs[k];
      std::tie(one.rule, one.width, one.length, one.across) = std::tie(
          cut_outs[first].rule, cut_outs[first].width, cut_outs[first].length, cut_outs[first].across);
      break;
    }
  }
}

}  // namespace

DieShape die_shape_of(const GradedPiece& piece) {
  DieShape shape{piece.cut, piece.cut_outs, {}, {}};
  for (const GradedHole& hole : piece.holes) {
    if (hole.operation == Operation::kPrick) {
      shape.holes.push_back(hole);
    } else if (hole.radius > 0.0) {  // a round cut-out is punched as a hole is
      shape.holes.push_back({hole.centre, hole.radius, Operation::kHole});
    }
  }
  for (const GradedLine& line : piece.lines) {
    if (line.operation == Operation::kNick || line.operation == Operation::kPrick)
      (line.tells.any() ? shape.size_marks : shape.marks).push_back(line);
  }
  return shape;
}

DieShape mirrored(const DieShape& shape) {
  // Mirrored outlines run clockwise; they are turned round, which also moves each segment's edge.
  const auto turn = [](const ClosedArcPath& path) { return reversed(lastwright::mirrored(path)); };
  DieShape other;
  other.cut.path = turn(shape.cut.path);
  const std::size_t n = shape.cut.edge.size();
  for (std::size_t k = 0; k < n; ++k) other.cut.edge.push_back(shape.cut.edge[n - 1 - k]);
  for (const ClosedArcPath& cut_out : shape.cut_outs) other.cut_outs.push_back(turn(cut_out));
  for (const GradedHole& hole : shape.holes) {
    other.holes.push_back({{-hole.centre.x, hole.centre.y}, hole.radius, hole.operation});
  }
  for (const GradedLine& mark : shape.marks)
    other.marks.push_back({lastwright::mirrored(mark.path), mark.operation});
  for (const GradedLine& mark : shape.size_marks)
    other.size_marks.push_back({lastwright::mirrored(mark.path), mark.operation, mark.tells});
  return other;
}

DieShape placed(const DieShape& shape, const Placement& placement) {
  DieShape result = shape;
  const auto move = [&](auto& path) { path = placed(path, placement.turn, placement.shift); };
  move(result.cut.path);
  for (ClosedArcPath& cut_out : result.cut_outs) move(cut_out);
  for (GradedHole& hole : result.holes) hole.centre = placed(hole.centre, placement);
  for (GradedLine& mark : result.marks) move(mark.path);
  for (GradedLine& mark : result.size_marks) move(mark.path);
  return result;
}

DieShape with_size_marks(DieShape shape) {
  shape.marks.insert(shape.marks.end(), shape.size_marks.begin(), shape.size_marks.end());
  shape.size_marks.clear();
  return shape;
}

NickTells told_by(const std::vector<GradedLine>& marks) {
  NickTells tells;
  for (const GradedLine& mark : marks) tells |= mark.tells;
  return tells;
}

void take_bends(DieFacts& facts, const std::function<bool(const CutOutFacts&)>& is_bent) {
  facts.smallest_radius_outside = facts.outline.radius_outside;
  facts.smallest_radius_inside = facts.outline.radius_inside;
  facts.shortest_straight = facts.outline.straight;
  facts.narrowest = facts.outline.neck;
  facts.corners = facts.outline.corners;
  const auto keep = [](MaybeLength& least, const MaybeLength& one) {
    if (one) keep_least(least, one->value, one->at);
  };
  for (const CutOutFacts& cut_out : facts.cut_out_facts) {
    if (!is_bent(cut_out)) continue;
    keep(facts.smallest_radius_outside, cut_out.bends.radius_outside);
    keep(facts.smallest_radius_inside, cut_out.bends.radius_inside);
    keep(facts.shortest_straight, cut_out.bends.straight);
    keep(facts.narrowest, cut_out.bends.neck);
    facts.corners.insert(facts.corners.end(), cut_out.bends.corners.begin(), cut_out.bends.corners.end());
  }
  find_sharpest(facts);
}

DieFacts measure_die(const DieShape& shape) {
  DieFacts facts;
  const double outer = signed_area(shape.cut.path);
  facts.rule_outer = length(shape.cut.path);
  facts.area = std::abs(outer);
  facts.box = bounds(shape.cut.path);
  facts.cut_outs = static_cast<int>(shape.cut_outs.size());
  measure_rule(shape.cut.path, outer > 0.0, facts, facts.outline);
  measure_neck(shape.cut.path, facts.outline);
  for (const ClosedArcPath& cut_out : shape.cut_outs) {
    const double hollow = signed_area(cut_out);
    facts.rule_inner += length(cut_out);
    facts.area -= std::abs(hollow);
    RuleBends bends;
    measure_rule(cut_out, hollow < 0.0, facts, bends);
    measure_neck(cut_out, bends);
    const InscribedCircle circle = largest_inscribed_circle(cut_out);
    const PunchSize size = punch_size(cut_out);
    facts.cut_out_facts.push_back(
        {length(cut_out), 2.0 * circle.radius, size.length, size.across, circle.centre, bends});
  }
  measure_twins_alike(facts.cut_out_facts);
  take_bends(facts, [](const CutOutFacts&) { return true; });
  for (const std::vector<GradedLine>* marks : {&shape.marks, &shape.size_marks}) {
    for (const GradedLine& mark : *marks) {
      if (mark.operation == Operation::kNick) ++facts.nicks;
      if (mark.operation == Operation::kPrick) ++facts.pricks;
    }
  }
  measure_holes(shape, facts);
  measure_gaps(shape, facts);
  return facts;
}

}  // namespace lastwright
