#include "grading/draft/standing_own.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "geometry/curve/curve_measure.hpp"
#include "geometry/curve/farthest_along.hpp"
#include "geometry/curve/nearest.hpp"
#include "geometry/tolerance.hpp"
#include "grading/draft/cover_fold.hpp"
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

// The place of the outline that lies farthest this way.
Vec2 extreme(const DraftPiece& piece, Vec2 way) {
  Vec2 best = start_of(piece.outline.curves().front());
  for (const Curve& curve : piece.outline.curves()) {
    const Vec2 here = farthest_along(curve, way);
    if (dot(here - best, way) > tolerance::kSamePoint.value()) best = here;
  }
  return best;
}

// Straight above a place of the outline, where that is highest.
Vec2 opposite(const DraftPiece& piece, const DraftFrame& frame, Vec2 place) {
  const double x = frame.in(place).x;
  Vec2 best = place;
  const auto consider = [&](Vec2 p) {
    if (frame.in(p).y > frame.in(best).y) best = p;
  };
  for (const Curve& curve : piece.outline.curves()) {
    const std::vector<Vec2> points = flattened(curve, tolerance::kOutlineChord);
    for (std::size_t i = 1; i < points.size(); ++i) {
      const Vec2 a = frame.in(points[i - 1]);
      const Vec2 b = frame.in(points[i]);
      const double least = tolerance::kSamePoint.value();  // an end of a side is met also past a rounding
      if (std::min(a.x, b.x) > x + least || std::max(a.x, b.x) < x - least) continue;
      const double share = std::abs(b.x - a.x) <= least ? (a.y > b.y ? 0.0 : 1.0) : (x - a.x) / (b.x - a.x);
      consider(nearest(curve, lerp(points[i - 1], points[i], std::clamp(share, 0.0, 1.0))).at);
    }
  }
  return best;
}

// A strap is measured to its own tips, at the height of the far one, along its base line. Where an end is
// rounded or pointed, the base line ends on no outline there: it ends where the straight edge does that it
// runs along, if there is one.
void measure_to_tip(const DraftPiece& piece, const std::optional<Line>& edge, DraftForme& forme) {
  Vec2 base_start = forme.points.at("start");
  Vec2 base_end = forme.points.at("end");
  const bool at_start = on_outline(piece, base_start);
  const bool at_end = on_outline(piece, base_end);
  if (at_end && at_start) return;
  const Vec2 tip = at_end ? base_end : extreme(piece, forme.frame.along);
  const Vec2 level = forme.frame.out({0.0, forme.frame.in(tip).y});
  forme.points["start"] = on_outline(piece, level) ? level : extreme(piece, -forme.frame.along);
  forme.points["end"] = tip;
  if (edge && !at_start) base_start = edge->a;
  if (edge && !at_end) base_end = edge->b;
  forme.points["base start"] = base_start;
  forme.points["base end"] = base_end;
  if (!at_start) forme.points["side"] = opposite(piece, forme.frame, base_start);
}

// The line that a piece stands on, and how it was found.
struct BaseWay {
  Vec2 from;
  Vec2 to;
  bool straight = true;  // else it is as long as the piece
  bool own_image = false;
  std::string found;
  Sureness sure = Sureness::kLikely;
};

// Where the piece's outline crosses the line through an axis, from the first place to the last.
std::pair<Vec2, Vec2> within_outline(const DraftPiece& piece, const std::pair<Vec2, Vec2>& axis) {
  const Vec2 along = unit(axis.second - axis.first);
  double first = INFINITY;
  double last = -INFINITY;
  for (std::size_t k = 0; k < piece.polygon.size(); ++k) {
    const Vec2 a = piece.polygon[k] - axis.first;
    const Vec2 b = piece.polygon[(k + 1) % piece.polygon.size()] - axis.first;
    const double off_a = cross(along, a);
    const double off_b = cross(along, b);
    if ((off_a <= 0.0) == (off_b <= 0.0)) continue;
    const double x = dot(along, lerp(a, b, off_a / (off_a - off_b)));
    first = std::min(first, x);
    last = std::max(last, x);
  }
  if (!(last - first > 1.0)) return axis;
  return {axis.first + first * along, axis.first + last * along};
}

std::optional<BaseWay> by_its_image(const DraftPiece& piece, double longest) {
  // Whatever its name: what is its own mirror image is not cut in two hands. A strap is one too, and lies
  // along its side.
  const bool compact = piece.area > longest * longest / kStrapLong;
  const bool asked = piece.words.part == PartOfShoe::kUpper || covers_heel(piece) ||
                     ((piece.words.part != PartOfShoe::kOwn || heel_cover(piece.name)) && compact);
  if (!asked || mirrored_edge(piece)) return std::nullopt;
  auto axes = mirror_axes(piece);
  if (axes.empty()) return std::nullopt;
  if (covers_heel(piece)) {  // as high as it is in its middle, as its half is
    for (auto& axis : axes) axis = within_outline(piece, axis);
  }
  if (axes.size() > 1 && !covers_heel(piece) && piece.words.part != PartOfShoe::kUpper)
    return std::nullopt;  // a box or a disc: its form tells of no left and right
  const auto length_of = [](const std::pair<Vec2, Vec2>& axis) { return distance(axis.first, axis.second); };
  if (axes.size() == 1 || piece.words.part == PartOfShoe::kUpper)
    return BaseWay{axes.front().first, axes.front().second, true, true,
                   "its base line is the line in which it is its own mirror image"};
  const auto& least = length_of(axes[1]) < length_of(axes[0]) ? axes[1] : axes[0];
  return BaseWay{least.first,
                 least.second,
                 true,
                 true,
                 "its base line is the shorter of the two lines in which it is its own mirror image",
                 Sureness::kGuess};
}

// Of a heel cover: up its middle.
BaseWay up_a_cover(const DraftPiece& piece, const FarPair& far) {
  const CoverFold fold = cover_fold(piece);
  if (fold.edge) {
    const DraftEdge& edge = piece.edges[*fold.edge];
    return {edge.samples.front(),
            edge.samples.back(),
            true,
            false,
            "its base line is the straight edge that is taken for its middle",
            fold.sure};
  }
  const Vec2 middle = lerp(far.a, far.b, 0.5);
  return {middle,
          middle + left_of(far.b - far.a),
          false,
          false,
          "its base line runs across its length: nothing shows its middle",
          Sureness::kGuess};
}

BaseWay base_way(const DraftPiece& piece) {
  const FarPair far = farthest_points(piece.polygon);
  if (const auto image = by_its_image(piece, far.distance)) return *image;
  if (!piece.mirrors.empty())
    return {piece.mirrors.front().first, piece.mirrors.front().second, true, false,
            "its base line is its mirror line"};
  if (covers_heel(piece)) return up_a_cover(piece, far);
  Line straightest{};
  for (const Curve& curve : piece.outline.curves()) {
    const Line* line = std::get_if<Line>(&curve);
    if (line != nullptr && distance(line->a, line->b) > distance(straightest.a, straightest.b) + kDraftSame)
      straightest = *line;
  }
  if (distance(straightest.a, straightest.b) > 0.4 * far.distance)
    return {straightest.a, straightest.b, true, false, "its base line is its longest straight edge"};
  return {far.a, far.b, false, false, "its base line is its length"};
}

}  // namespace

DraftForme standing_own(const std::vector<DraftPiece>& pieces, const std::vector<std::size_t>& which) {
  DraftForme forme;
  forme.kind = DraftKind::kOwn;
  forme.pieces = which;
  const DraftPiece& piece = largest_of(pieces, which);
  forme.main = static_cast<std::size_t>(&piece - pieces.data());
  const BaseWay base = base_way(piece);
  Vec2 from = base.from;
  Vec2 to = base.to;
  const bool straight_base = base.straight;
  forme.own_image = base.own_image;
  forme.base_from = base.found;
  forme.base_sure = base.sure;
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
  const auto reach = [&](Vec2 way) { return dot(extreme(piece, way) - from, way); };
  const double low = std::min(0.0, -reach(-forme.frame.up));
  const double high = std::max(0.0, reach(forme.frame.up));
  const double from_x = std::min(0.0, -reach(-forme.frame.along));
  const double long_to = std::max(0.0, reach(forme.frame.along));
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
  forme.points["side"] = forme.frame.out({0.0, high});
  if (base.own_image && covers_heel(piece)) forme.points["other side"] = forme.frame.out({0.0, low});
  if (forme.constant_width) {
    std::optional<Line> edge;
    if (straight_base && on_outline(piece, from) && on_outline(piece, to))
      edge = dot(to - from, forme.frame.along) > 0.0 ? Line{from, to} : Line{to, from};
    measure_to_tip(piece, edge, forme);
  }
  return forme;
}

}  // namespace lastwright
