#include "grading/checks/lasting/outline_depth.hpp"

#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

bool left_side(const ReadyArc& arc, Vec2 foot, Vec2 p) {
  const Vec2 along = arc.turn == 0.0 ? arc.b - arc.a : arc.turn * left_of(foot - arc.centre);
  return cross(along, p - foot) >= 0.0;
}

// Depth changes by no more than the way walked, so within half a stretch of its middle nothing lies deeper
// or farther out than that.
void search(const ArcSegment& segment, double from, double to, double length, OutlineDepth& outline,
            StandsOut& met) {
  const double middle = 0.5 * (from + to);
  const Vec2 p = segment.point_at(middle);
  const double out = -outline(p);
  if (out > met.value) met = {out, p};
  const double reach = 0.5 * (to - from) * length;
  if (out + reach <= met.value + kStandsOut) return;
  search(segment, from, middle, length, outline, met);
  search(segment, middle, to, length, outline, met);
}

template <class Path>
StandsOut of(const Path& line, OutlineDepth& outline) {
  StandsOut met;
  for (const ArcVertex& vertex : line.vertices) {
    const double out = -outline(vertex.at);
    if (out > met.value) met = {out, vertex.at};
  }
  for (std::size_t i = 0; i < line.size(); ++i) {
    const ArcSegment segment = line.segment(i);
    search(segment, 0.0, 1.0, segment.length(), outline, met);
  }
  return met;
}

}  // namespace

double OutlineDepth::operator()(Vec2 p) {
  if (!outline_) outline_.emplace(path_);
  const MeasuredOutline::Nearest nearest = outline_->nearest(p, hint_);
  hint_ = nearest.arc;
  return inside(p, nearest.arc) ? nearest.distance : -nearest.distance;
}

// `nearest`: the arc nearest to p. Where the foot is a corner, p lies on the side on which it lies of both
// arcs; on neither where they disagree, which takes a corner sharper than a right angle.
bool OutlineDepth::inside(Vec2 p, std::size_t nearest) const {
  const std::vector<ReadyArc>& arcs = outline_->arcs();
  const ReadyArc& arc = arcs[nearest];
  const Vec2 foot = foot_on(arc, p);
  const bool left = left_side(arc, foot, p);
  const auto agrees = [&](Vec2 corner, const ReadyArc& next) {
    return distance(foot, corner) >= tolerance::kSamePoint.value() || left_side(next, corner, p) == left;
  };
  const std::size_t n = arcs.size();
  if (agrees(arc.a, arcs[(nearest + n - 1) % n]) && agrees(arc.b, arcs[(nearest + 1) % n])) return left;
  return contains(path_, p);
}

StandsOut stands_out(const OpenArcPath& line, OutlineDepth& outline) {
  return of(line, outline);
}

StandsOut stands_out(const ClosedArcPath& line, OutlineDepth& outline) {
  return of(line, outline);
}

}  // namespace lastwright
