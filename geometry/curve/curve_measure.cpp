#include "geometry/curve/curve_measure.hpp"

#include <algorithm>

#include "geometry/curve/arc_path.hpp"
#include "geometry/curve/quadrature.hpp"
#include "geometry/curve/spline.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

// Sums `integrand` over the smooth spans of a spline.
template <class F>
double over_spans(const Spline& spline, const F& integrand, double error) {
  std::vector<double> stops = interior_knots(spline);
  stops.insert(stops.begin(), 0.0);
  stops.push_back(1.0);
  const double share = error / static_cast<double>(stops.size() - 1);
  double sum = 0.0;
  for (std::size_t i = 0; i + 1 < stops.size(); ++i)
    sum += integral(integrand, stops[i], stops[i + 1], share);
  return sum;
}

Box2 hull_box(const BezierPiece& piece) {
  Box2 box;
  for (const HomogeneousPole& pole : piece.poles) box.add(pole.point());
  return box;
}

bool within(const Box2& inner, const Box2& outer, double margin) {
  return inner.low.x >= outer.low.x - margin && inner.low.y >= outer.low.y - margin &&
         inner.high.x <= outer.high.x + margin && inner.high.y <= outer.high.y + margin;
}

// Grows `box`, made of points of the curve, until the hulls of all parts lie within `margin` of it.
void bound(const BezierPiece& piece, double margin, int depth, Box2& box) {
  const Box2 hull = hull_box(piece);
  if (within(hull, box, margin) || depth == 0) return;
  const auto [left, right] = halves(piece);
  box.add(right.poles.front().point());
  bound(left, margin, depth - 1, box);
  bound(right, margin, depth - 1, box);
}

// All poles within `margin` of the chord, the ends included, so is the curve: it lies in their convex hull.
bool flat(const BezierPiece& piece, double margin) {
  const Vec2 a = piece.poles.front().point();
  const Vec2 b = piece.poles.back().point();
  const ArcSegment chord{a, b, 0.0};
  return std::all_of(piece.poles.begin(), piece.poles.end(),
                     [&](const HomogeneousPole& pole) { return chord.distance_to(pole.point()) <= margin; });
}

void flatten(const BezierPiece& piece, double margin, int depth, std::vector<Vec2>& points) {
  if (depth == 0 || flat(piece, margin)) {
    points.push_back(piece.poles.back().point());
    return;
  }
  const auto [left, right] = halves(piece);
  flatten(left, margin, depth - 1, points);
  flatten(right, margin, depth - 1, points);
}

}  // namespace

double length(const Curve& curve, Millimetres error) {
  if (const Line* line = std::get_if<Line>(&curve)) return distance(line->a, line->b);
  if (const Arc* arc = std::get_if<Arc>(&curve)) return arc->segment().length();
  const Spline& spline = std::get<Spline>(curve);
  return over_spans(
      spline, [&](double t) { return norm(jet_at(spline, t, 1).first); }, error.value());
}

Box2 bounds(const Curve& curve) {
  Box2 box;
  box.add(start_of(curve));
  box.add(end_of(curve));
  if (const Arc* arc = std::get_if<Arc>(&curve)) return arc->segment().bounds();
  if (const Spline* spline = std::get_if<Spline>(&curve)) {
    const std::vector<BezierPiece> pieces = bezier_pieces(*spline);
    for (const BezierPiece& piece : pieces) box.add(piece.poles.back().point());
    for (const BezierPiece& piece : pieces) bound(piece, tolerance::kRoot.value(), 50, box);
  }
  return box;
}

double swept_area(const Curve& curve, Vec2 origin, double error) {
  const double triangle = 0.5 * cross(start_of(curve) - origin, end_of(curve) - origin);
  if (std::holds_alternative<Line>(curve)) return triangle;
  if (const Arc* arc = std::get_if<Arc>(&curve)) return triangle + arc->segment().bow_area();
  const Spline& spline = std::get<Spline>(curve);
  const auto rate = [&](double t) {
    const CurveJet jet = jet_at(spline, t, 1);
    return 0.5 * cross(jet.at - origin, jet.first);
  };
  return over_spans(spline, rate, error);
}

std::vector<Vec2> flattened(const Curve& curve, Millimetres chord_error) {
  if (const Line* line = std::get_if<Line>(&curve)) return {line->a, line->b};
  if (const Arc* arc = std::get_if<Arc>(&curve)) {
    return flattened(OpenArcPath{{{arc->a, arc->bulge}, {arc->b, 0.0}}}, chord_error);
  }
  std::vector<Vec2> points{start_of(curve)};
  for (const BezierPiece& piece : bezier_pieces(std::get<Spline>(curve))) {
    flatten(piece, chord_error.value(), 24, points);
  }
  points.back() = end_of(curve);
  return points;
}

}  // namespace lastwright
