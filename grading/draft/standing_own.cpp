#include "grading/draft/standing_own.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/curve/curve_measure.hpp"
#include "grading/draft/piece_groups.hpp"

namespace lastwright {

namespace {

constexpr double kStrapLong = 3.0;      // times its width: shorter ones are tabs and patches
constexpr double kStrapParallel = 0.3;  // mm that a strap's width may change along its middle part

// Of the largest piece: the rest moves with it.
const DraftPiece& largest_of(const std::vector<DraftPiece>& pieces, const std::vector<std::size_t>& which) {
  std::size_t best = which.front();
  for (const std::size_t i : which) {
    if (pieces[i].area > pieces[best].area) best = i;
  }
  return pieces[best];
}

// The place of the outline that lies farthest along the base line, or least far.
Vec2 extreme(const DraftPiece& piece, const DraftFrame& frame, double sign) {
  Vec2 best = piece.polygon.front();
  for (const Curve& curve : piece.outline.curves()) {
    for (const Vec2 p : flattened(curve, Millimetres(0.001))) {
      if (sign * frame.in(p).x > sign * frame.in(best).x) best = p;
    }
  }
  return best;
}

// Whether it is its own mirror image also across the middle of this axis, as a box or a disc is: its form
// then tells of no left and right.
bool mirrored_across(const DraftPiece& piece, const std::pair<Vec2, Vec2>& axis) {
  const Vec2 along = unit(axis.second - axis.first);
  const Vec2 middle = lerp(axis.first, axis.second, 0.5);
  return std::all_of(piece.polygon.begin(), piece.polygon.end(),
                     [&](Vec2 p) { return on_outline(piece, p - 2.0 * dot(p - middle, along) * along); });
}

// A strap is measured to its own tip. Where that is rounded or pointed, the end of its base line lies on no
// outline, and what is measured to there is not what grows: it is measured at the height of the tip, along
// the base line.
void measure_to_tip(const DraftPiece& piece, DraftForme& forme) {
  const Vec2 base_start = forme.points.at("start");
  const Vec2 base_end = forme.points.at("end");
  if (on_outline(piece, base_end) && on_outline(piece, base_start)) return;
  const Vec2 tip = on_outline(piece, base_end) ? base_end : extreme(piece, forme.frame, 1.0);
  const Vec2 level = forme.frame.out({0.0, forme.frame.in(tip).y});
  forme.points["base start"] = base_start;
  forme.points["base end"] = base_end;
  forme.points["start"] = on_outline(piece, level) ? level : extreme(piece, forme.frame, -1.0);
  forme.points["end"] = tip;
}

}  // namespace

DraftForme standing_own(const std::vector<DraftPiece>& pieces, const std::vector<std::size_t>& which) {
  DraftForme forme;
  forme.kind = DraftKind::kOwn;
  forme.pieces = which;
  const DraftPiece& piece = largest_of(pieces, which);
  forme.main = static_cast<std::size_t>(&piece - pieces.data());
  const FarPair far = farthest_points(piece.polygon);
  Vec2 from = far.a;
  Vec2 to = far.b;
  bool straight_base = true;
  Line straightest{};
  for (const Curve& curve : piece.outline.curves()) {
    const Line* line = std::get_if<Line>(&curve);
    if (line != nullptr && distance(line->a, line->b) > distance(straightest.a, straightest.b) + kDraftSame)
      straightest = *line;
  }
  // Whatever its name: what is its own mirror image is not cut in two hands. A strap is one too, and lies
  // along its side.
  const bool compact = piece.area > far.distance * far.distance / kStrapLong;
  const bool asked =
      piece.words.part == PartOfShoe::kUpper || (piece.words.part != PartOfShoe::kOwn && compact);
  auto axis = asked && !piece.mirror ? mirror_axis(piece) : std::nullopt;
  if (axis && piece.words.part != PartOfShoe::kUpper && mirrored_across(piece, *axis)) axis.reset();
  if (axis) {
    from = axis->first;
    to = axis->second;
    forme.own_image = true;
    forme.base_from = "its base line is the line in which it is its own mirror image";
  } else if (piece.mirror) {
    from = piece.mirror->first;
    to = piece.mirror->second;
    forme.base_from = "its base line is its mirror line";
  } else if (distance(straightest.a, straightest.b) > 0.4 * far.distance) {
    from = straightest.a;
    to = straightest.b;
    forme.base_from = "its base line is its longest straight edge";
  } else {
    forme.base_from = "its base line is its length";
    straight_base = false;
  }
  // From the end that is nearer to where most of the piece lies.
  Vec2 weight{};
  for (const DraftEdge& edge : piece.edges) {
    for (const Vec2 p : edge.samples) weight += p;
  }
  weight = weight / static_cast<double>(piece.edges.size() * (kDraftSamples + 1));
  if (distance(weight, to) < distance(weight, from) - kDraftSame) std::swap(from, to);
  forme.frame.origin = from;
  forme.frame.along = unit(to - from);
  forme.frame.up = left_of(forme.frame.along);
  if (forme.frame.in(weight).y < 0.0) forme.frame.up = -forme.frame.up;
  double low = 0.0;
  double high = 0.0;
  double from_x = 0.0;
  double long_to = 0.0;
  for (const Vec2 p : piece.polygon) {
    const Vec2 q = forme.frame.in(p);
    low = std::min(low, q.y);
    high = std::max(high, q.y);
    from_x = std::min(from_x, q.x);
    long_to = std::max(long_to, q.x);
  }
  if (long_to > kStrapLong * (high - low)) {
    double least = INFINITY;
    double most = 0.0;
    const auto index = static_cast<std::size_t>(&piece - pieces.data());
    for (int i = 3; i <= 7; ++i) {
      const std::vector<double> heights = heights_at(pieces, {index}, forme.frame, 0.1 * i * long_to);
      if (heights.size() < 2) continue;
      least = std::min(least, heights.back() - heights.front());
      most = std::max(most, heights.back() - heights.front());
    }
    forme.constant_width = most - least <= kStrapParallel;
  }
  // A strap is as long as it is, with its tip; what is cut double as long as its fold.
  if (forme.constant_width || !straight_base) {
    forme.frame.origin = forme.frame.out({from_x, 0.0});
    forme.length = long_to - from_x;
  } else {
    forme.length = distance(from, to);
  }
  forme.width = high;
  // From its straight end to its rounded one: its width is measured where its sides end on the outline.
  const Vec2 far_end = forme.frame.out({forme.length, 0.0});
  if (forme.constant_width && !on_outline(piece, forme.frame.origin) && on_outline(piece, far_end)) {
    forme.frame.origin = far_end;
    forme.frame.along = -forme.frame.along;
  }
  forme.points["start"] = forme.frame.origin;
  forme.points["end"] = forme.frame.out({forme.length, 0.0});
  if (forme.constant_width) measure_to_tip(piece, forme);
  forme.points["side"] = forme.frame.out({0.0, high});
  return forme;
}

}  // namespace lastwright
