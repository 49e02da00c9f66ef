// What a spline alone can do; code that takes any Curve uses curve.hpp.
#pragma once

#include <vector>

#include "geometry/curve/curve.hpp"
#include "geometry/curve/spline_knots.hpp"

namespace lastwright {

struct CurveJet {
  Vec2 at;
  Vec2 first;  // derivatives by t
  Vec2 second;
};

// Value and derivatives at t (clamped to [0, 1]); at a knot
// the ones of the span that follows, at 1 of the last. Of a jet
// of which fewer derivatives are asked for, only these mean something.
CurveJet jet_at(const Spline& spline, double t, int derivatives = 2);
// The last pole that acts there; the degree before it act too, and the curve lies in their convex hull from
// the knot of this number to the next.
std::size_t span_at(const Spline& spline, double t);

Spline reversed(const Spline& spline);
// The part between two parameters, 0 <= t0 < t1 <= 1.
Spline part_of(const Spline& spline, double t0, double t1);
// Interior knots, each once.
std::vector<double> interior_knots(const Spline& spline);

// One polynomial (or rational) piece in Bezier form. The curve stays in the convex hull of its poles.
struct BezierPiece {
  std::vector<HomogeneousPole> poles;
};
std::vector<BezierPiece> bezier_pieces(const Spline& spline);
std::pair<BezierPiece, BezierPiece> halves(const BezierPiece& piece);

}  // namespace lastwright
