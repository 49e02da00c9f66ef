// The curves a drawing is made of: straight lines, circular arcs and (rational) B-splines.
//
// Every curve runs over t in [0, 1] from its start to its end. Ellipses and their arcs arrive as exact
// rational quadratic splines; polylines with bulges arrive as lines and arcs.
#pragma once

#include <optional>
#include <utility>
#include <variant>
#include <vector>

#include "geometry/curve/arc_segment.hpp"
#include "geometry/result.hpp"
#include "geometry/units.hpp"

namespace lastwright {

struct Line {
  Vec2 a;
  Vec2 b;
};

// At most a half turn away from being exact in every formula; a full circle is two of them.
struct Arc {
  Vec2 a;
  Vec2 b;
  double bulge = 0.0;  // not 0
  [[nodiscard]] ArcSegment segment() const { return {a, b, bulge}; }
};

// A clamped (rational) B-spline. Built by make_spline only, which checks it.
class Spline {
 public:
  [[nodiscard]] int degree() const { return degree_; }
  [[nodiscard]] const std::vector<double>& knots() const {
    return knots_;
  }  // poles + degree + 1 of them, ends at 0 and 1
  [[nodiscard]] const std::vector<Vec2>& poles() const { return poles_; }
  [[nodiscard]] const std::vector<double>& weights() const { return weights_; }  // empty: all 1

 private:
  friend Result<Spline> make_spline(int degree, std::vector<double> knots, std::vector<Vec2> poles,
                                    std::vector<double> weights);
  int degree_ = 1;
  std::vector<double> knots_;
  std::vector<Vec2> poles_;
  std::vector<double> weights_;
};

// Clamps the ends by knot insertion where they are not, and scales the knots to [0, 1].
// Refuses: degree outside 1..15, counts that do not fit (poles + degree + 1 knots), decreasing knots, an
// interior knot of multiplicity above the degree, weights not positive, anything not finite.
Result<Spline> make_spline(int degree, std::vector<double> knots, std::vector<Vec2> poles,
                           std::vector<double> weights = {});

using Curve = std::variant<Line, Arc, Spline>;

Vec2 point_at(const Curve& curve, double t);
// First derivative by t. For lines and arcs its length is constant: the curve's length.
Vec2 derivative_at(const Curve& curve, double t);
// Second derivative by t.
Vec2 second_derivative_at(const Curve& curve, double t);
// Unit tangent in the direction of travel, also where the
// derivative vanishes at an end (from the next derivative).
Vec2 tangent_at(const Curve& curve, double t);

// Of a line or an arc; none of a spline.
std::optional<ArcSegment> segment_of(const Curve& curve);

Vec2 start_of(const Curve& curve);
Vec2 end_of(const Curve& curve);
Curve reversed(const Curve& curve);
// The same curve with its ends moved: an arc keeps its
// turn, a spline its inner poles. For closing small gaps.
Curve with_ends(const Curve& curve, Vec2 start, Vec2 end);
// The part between two parameters, 0 <= t0 < t1 <= 1; exact.
Curve part_of(const Curve& curve, double t0, double t1);
// Parameters strictly inside (0, 1) where the curve is less than C2 (a spline's knots), rising.
std::vector<double> breaks_of(const Curve& curve);
// Length within `error` (lines and arcs exact; splines by adaptive Gauss-Legendre).
double length(const Curve& curve, Millimetres error = Millimetres(1e-7));
// A box that holds the curve: exact for lines and arcs, tight within 1e-9 mm for splines.
Box2 bounds(const Curve& curve);
// The ellipse arc centre + cos(u) major + sin(u) ratio left_of(major), u from start to end (end > start, at
// most 2 pi apart), as an exact rational quadratic spline.
Result<Spline> ellipse_arc(Vec2 centre, Vec2 major, double ratio, Radians start, Radians end);

}  // namespace lastwright
