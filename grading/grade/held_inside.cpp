#include "grading/grade/held_inside.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "geometry/curve/curve_measure.hpp"
#include "geometry/curve/nearest.hpp"
#include "geometry/curve/spaced_points.hpp"
#include "geometry/tolerance.hpp"
#include "grading/pieces/drawing/polygon_index.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kRungs = 8;         // pairs of opposite places
constexpr double kWidest = 0.5;           // of the run's length: what is wider is no strap
constexpr Millimetres kStrapChord{0.05};  // of the outline, to tell what lies inside
constexpr Millimetres kWithEdge{0.5};     // what is as near to the run moves with it anyway

struct FoldAcross {
  Vec2 a;
  Vec2 b;
  [[nodiscard]] Vec2 foot(Vec2 p) const { return a + (dot(p - a, b - a) / dot(b - a, b - a)) * (b - a); }
  [[nodiscard]] Vec2 mirrored(Vec2 p) const { return 2.0 * foot(p) - p; }
  // A place of the fold so far from its end at p.
  [[nodiscard]] Vec2 beside(Vec2 p, double by) const {
    const Vec2 other = distance(p, a) < distance(p, b) ? b : a;
    return p + std::min(by, 0.25 * distance(a, b)) * unit(other - p);
  }
  [[nodiscard]] bool meets(Vec2 p) const { return distance(p, foot(p)) <= tolerance::kChainGap.value(); }
};

std::optional<FoldAcross> fold_of(const BoundPiece& piece) {
  const std::optional<std::size_t> edge = fold_edge(piece);
  if (!edge) return std::nullopt;
  const std::vector<Curve>& curves = piece.edges[*edge].chain.curves();
  return FoldAcross{start_of(curves.front()), end_of(curves.back())};
}

bool on_base_line(const FoldAcross& fold, const FormeSpec& forme) {
  std::vector<Vec2> ends;
  for (const std::string& name : {forme.base_line.first, forme.base_line.second}) {
    for (const NamedPoint& point : forme.points) {
      if (point.name == name) ends.push_back(point.at);
    }
  }
  if (ends.size() != 2 || ends[0] == ends[1]) return false;
  const FoldAcross base{ends[0], ends[1]};
  return base.meets(fold.a) && base.meets(fold.b);
}

std::vector<Vec2> outline_polygon(const BoundPiece& piece) {
  std::vector<Vec2> polygon;
  for (const BoundEdge& edge : piece.edges) {
    for (const Curve& curve : edge.chain.curves()) {
      const std::vector<Vec2> points = flattened(curve, kStrapChord);
      polygon.insert(polygon.end(), points.begin(), points.end() - 1);
    }
  }
  return polygon;
}

// What is punched or marked at a place of its own.
std::vector<Vec2> places_in(const BoundPiece& piece) {
  std::vector<Vec2> places = piece.spots;
  for (const BoundHole& hole : piece.holes) places.push_back(hole.centre);
  for (const BoundText& text : piece.texts) places.push_back(text.at);
  for (const BoundCutOut& cut_out : piece.cut_outs) {
    const std::vector<Vec2> round = spaced_points(cut_out.outline.curves(), kRungs);
    places.insert(places.end(), round.begin(), round.end());
  }
  return places;
}

}  // namespace

std::vector<Vec2> held_inside(const BoundPiece& piece, const std::vector<Curve>& run,
                              const FormeSpec& forme) {
  std::vector<Vec2> along = spaced_points(run, 2 * kRungs);
  double whole = 0.0;
  for (const Curve& curve : run) whole += length(curve);
  std::vector<Vec2> held;

  const std::optional<FoldAcross> fold = fold_of(piece);
  const bool folded = fold && (fold->meets(along.front()) || fold->meets(along.back()));
  if (folded && !fold->meets(along.front())) std::reverse(along.begin(), along.end());
  const bool both_ends = folded && fold->meets(along.back());
  // Points of the base line stay on it: with two of them the body cannot turn.
  if (folded && !both_ends && on_base_line(*fold, forme))
    held.push_back(fold->beside(along.front(), whole / kRungs));

  // The places opposite each other: on the other leg of the run, or in the other half of the piece.
  std::vector<Vec2> one(along.begin() + 1, folded ? along.end() : along.begin() + kRungs);
  std::vector<Vec2> midway;
  bool strap = !both_ends;
  for (std::size_t k = 0; k < one.size() && strap; ++k) {
    const Vec2 other = folded ? fold->mirrored(one[k]) : along[2 * kRungs - 1 - k];
    strap = distance(one[k], other) <= kWidest * (folded ? 2.0 * whole : whole);
    midway.push_back(lerp(one[k], other, 0.5));
  }
  if (!strap) return held;

  // Between the legs, or between the run and the fold.
  std::vector<Vec2> between;
  for (const Curve& curve : run) {
    const std::vector<Vec2> points = flattened(curve, kStrapChord);
    between.insert(between.end(), points.begin(), points.end());
  }
  if (folded) between.push_back(fold->foot(along.back()));
  const PolygonIndex inside(std::move(between));
  const PolygonIndex in_piece(outline_polygon(piece));
  const auto apart = [&](Vec2 p) {
    return std::all_of(run.begin(), run.end(),
                       [&](const Curve& curve) { return nearest(curve, p).distance > kWithEdge.value(); });
  };
  for (const Vec2 p : midway) {
    if (apart(p) && (folded || (inside.inside(p) && in_piece.inside(p)))) held.push_back(p);
  }
  for (const Vec2 p : places_in(piece)) {
    const bool here =
        inside.inside(p) || (folded && fold->meets(p) && inside.inside(p + 1e-3 * (along.back() - p)));
    if (here && apart(p)) held.push_back(p);
  }
  return held;
}

}  // namespace lastwright
