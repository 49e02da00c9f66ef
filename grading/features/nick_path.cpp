#include "grading/features/nick_path.hpp"

#include <algorithm>
#include <limits>

#include "geometry/curve/intersect.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

std::optional<OutlinePlace> first_meeting(const ClosedArcPath& outline, Vec2 from, Vec2 outward,
                                          double reach) {
  const double touch = tolerance::kSamePoint.value();
  const ArcSegment ray{from - touch * outward, from + reach * outward, 0.0};
  Box2 box;
  box.add(ray.a);
  box.add(ray.b);
  box = box.grown(touch);
  std::optional<OutlinePlace> first;
  double nearest = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const ArcSegment segment = outline.segment(i);
    if (!loose_bounds(segment).overlaps(box)) continue;
    for (const Contact& contact : contacts(segment, ray, touch)) {
      const double along = dot(contact.at - from, outward);
      if (along >= nearest - touch) continue;
      nearest = along;
      first = OutlinePlace{contact.at, i, contact.on_one};
    }
  }
  return first;
}

OutlinePlace walked(const ClosedArcPath& outline, OutlinePlace from, double length) {
  const std::size_t n = outline.size();
  for (std::size_t steps = 0; steps <= n; ++steps) {
    const ArcSegment segment = outline.segment(from.segment);
    const double whole = segment.length();
    const double room = length >= 0.0 ? (1.0 - from.t) * whole : from.t * whole;
    if (std::abs(length) <= room || steps == n) {
      from.t = std::clamp(whole > 0.0 ? from.t + length / whole : 0.0, 0.0, 1.0);
      from.at = segment.point_at(from.t);
      return from;
    }
    length += length >= 0.0 ? -room : room;
    from.segment = length >= 0.0 ? (from.segment + 1) % n : (from.segment + n - 1) % n;
    from.t = length >= 0.0 ? 0.0 : 1.0;
  }
  return from;
}

OpenArcPath nick_path(const ClosedArcPath& cut, const OutlinePlace& at, Vec2 outward,
                      const NickShape& shape) {
  const double depth = shape.depth.value();
  const Vec2 inner = at.at - depth * outward;
  if (shape.form == NickForm::kSlit) return {{{at.at, 0.0}, {inner, 0.0}}};
  const double half = 0.5 * shape.width.value();
  const Vec2 before = walked(cut, at, -half).at;
  const Vec2 after = walked(cut, at, half).at;
  switch (shape.form) {
    case NickForm::kOutward:
      return {{{before, 0.0}, {at.at + depth * outward, 0.0}, {after, 0.0}}};
    case NickForm::kRound: {
      const Vec2 middle = at.at - (depth - half) * outward;
      const Vec2 across = half * left_of(outward);  // along the outline: it is walked counter-clockwise
      return {{{before, 0.0}, {middle - across, -1.0}, {middle + across, 0.0}, {after, 0.0}}};
    }
    default:
      return {{{before, 0.0}, {inner, 0.0}, {after, 0.0}}};
  }
}

namespace {

constexpr double kShortOfEdge = 0.5;  // mm left whole before the finished edge
constexpr double kShallowest = 1.0;   // mm: less is not seen in leather

}  // namespace

double drawn_nick_depth(double drawn, double allowance) {
  return std::clamp(allowance - kShortOfEdge, std::min(kShallowest, drawn), drawn);
}

void nicks_through_allowance(GradedPiece& piece, double reach) {
  for (GradedLine& line : piece.lines) {
    if (line.operation != Operation::kNick || line.path.size() != 1) continue;
    const Vec2 mouth = line.path.vertices.front().at;
    const Vec2 inward = line.path.vertices.back().at - mouth;
    // The place may lie beside the net line by what the mapping
    // may be off, and so outside an edge without allowance.
    const Vec2 outward = -unit(inward);
    const auto cut = first_meeting(piece.cut.path, mouth - 2.0 * tolerance::kMapped.value() * outward,
                                   outward, 2.0 * reach + tolerance::kCornerSnap.value());
    if (!cut) continue;
    const double depth = drawn_nick_depth(norm(inward), dot(cut->at - mouth, outward));
    line.path = {{{cut->at, 0.0}, {cut->at + depth * unit(inward), 0.0}}};
  }
}

}  // namespace lastwright
