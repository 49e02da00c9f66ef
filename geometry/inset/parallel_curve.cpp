#include "geometry/inset/parallel_curve.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "geometry/curve/spline.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

constexpr double kLeastBend = 1e-9;  // of the new radius over the old one: below it nothing is left of a bend
constexpr int kDeepest = 16;         // halvings of a span between two knots

Problem too_tight(Vec2 at, double left, double radius) {
  return {Trouble::kGeometry,
          fmt::format("it bends with a radius of {:.3f} mm at ({:.3f}, {:.3f}), tighter than the distance",
                      radius, at.x, at.y),
          {},
          std::abs(left),
          radius};
}

// A point of the parallel and its derivative by the curve's own parameter.
struct Beside {
  Vec2 at;
  Vec2 slope;
  double bend = 1.0;    // new speed over old
  double radius = 0.0;  // of the curve
};

Beside beside(const Spline& spline, double t, double left) {
  const CurveJet jet = jet_at(spline, t);
  const Vec2 tangent = tangent_at(spline, t);
  const double speed = norm(jet.first);
  // Where a curve stands still its curvature says nothing.
  const double curvature =
      speed > tolerance::kRoot.value() ? cross(jet.first, jet.second) / (speed * speed * speed) : 0.0;
  const double bend = 1.0 - curvature * left;
  return {jet.at + left * left_of(tangent), bend * jet.first, bend, 1.0 / std::abs(curvature)};
}

class ParallelSpline {
 public:
  ParallelSpline(const Spline& spline, double left) : spline_(spline), left_(left) {}

  Result<Curve> make() {
    std::vector<double> stops = interior_knots(spline_);
    stops.push_back(1.0);
    double from = 0.0;
    poles_ = {beside(spline_, 0.0, left_).at};
    knots_.assign(4, 0.0);
    for (const double to : stops) {
      // A knot is looked at from both sides: curvature may jump there.
      const double inside = 1e-9 * (to - from);
      if (Status added = add(from, sample(from + inside), to, sample(to - inside), 0); !added)
        return added.problem();
      from = to;
    }
    knots_.push_back(1.0);
    Result<Spline> made = make_spline(3, std::move(knots_), std::move(poles_));
    invariant(made.ok(), "poles and knots fit");
    return Curve(*std::move(made));
  }

 private:
  [[nodiscard]] Beside sample(double t) const { return beside(spline_, t, left_); }

  Status add(double t0, const Beside& a, double t1, const Beside& b, int depth) {
    const double h = t1 - t0;
    const Vec2 p1 = a.at + h / 3.0 * a.slope;
    const Vec2 p2 = b.at - h / 3.0 * b.slope;
    double off = 0.0;
    for (const double u : {0.25, 0.5, 0.75}) {
      const Beside here = sample(t0 + u * h);
      if (here.bend < kLeastBend) return too_tight(point_at(spline_, t0 + u * h), left_, here.radius);
      const double v = 1.0 - u;
      const Vec2 on = v * v * v * a.at + 3.0 * u * v * v * p1 + 3.0 * u * u * v * p2 + u * u * u * b.at;
      off = std::max(off, distance(on, here.at));
    }
    for (const auto& [end, t] : {std::pair(a, t0), std::pair(b, t1)}) {
      if (end.bend < kLeastBend) return too_tight(point_at(spline_, t), left_, end.radius);
    }
    if (off <= tolerance::kSamePoint.value() || depth == kDeepest) {
      poles_.insert(poles_.end(), {p1, p2, b.at});
      knots_.insert(knots_.end(), 3, t1);
      return Done{};
    }
    const double middle = 0.5 * (t0 + t1);
    const Beside between = sample(middle);
    if (Status left = add(t0, a, middle, between, depth + 1); !left) return left;
    return add(middle, between, t1, b, depth + 1);
  }

  const Spline& spline_;
  double left_;
  std::vector<Vec2> poles_;
  std::vector<double> knots_;
};

}  // namespace

Result<Curve> parallel_curve(const Curve& curve, Millimetres left) {
  const double aside = left.value();
  if (aside == 0.0) return curve;
  if (const auto* line = std::get_if<Line>(&curve)) {
    const Vec2 by = aside * left_of(unit(line->b - line->a));
    return Curve(Line{line->a + by, line->b + by});
  }
  if (const auto* arc = std::get_if<Arc>(&curve)) {
    const ArcSegment s = arc->segment();
    if (1.0 - s.curvature() * aside < kLeastBend) return too_tight(s.point_at(0.5), aside, s.radius());
    return Curve(
        Arc{s.a + aside * left_of(s.start_tangent()), s.b + aside * left_of(s.end_tangent()), s.bulge});
  }
  return ParallelSpline(std::get<Spline>(curve), aside).make();
}

std::vector<Curve> smooth_parts(const Curve& curve) {
  constexpr double kBeside = 1e-7;
  constexpr double kSmooth = 1e-4;  // radians: what a curvature of 1/mm turns over the step beside the knot
  std::vector<Curve> parts;
  double from = 0.0;
  for (const double t : breaks_of(curve)) {
    if (std::abs(angle_between(tangent_at(curve, t - kBeside), tangent_at(curve, t + kBeside))) <= kSmooth)
      continue;
    parts.push_back(part_of(curve, from, t));
    from = t;
  }
  parts.push_back(from == 0.0 ? curve : part_of(curve, from, 1.0));
  return parts;
}

}  // namespace lastwright
