#include "geometry/inset/long_curve.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/inset/curve_crossings.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

// From `at` along the unit tangent `along`, turning by `curvature`.
Curve run_on(Vec2 at, Vec2 along, double curvature, double reach) {
  constexpr double kMostTurn = 0.9 * std::numbers::pi;  // beyond half a turn a run comes back
  const double turn = std::clamp(curvature * reach, -kMostTurn, kMostTurn);
  const double bow = 0.125 * std::abs(turn) * reach;
  if (bow <= tolerance::kRoot.value()) return Line{at, at + reach * along};
  const double chord = 2.0 / curvature * std::sin(0.5 * turn);
  return Arc{at, at + chord * turned(along, 0.5 * turn), std::tan(0.25 * turn)};
}

// A cubic over its own tangent, the curvature given at its start.
Curve bent_to(Vec2 at, Vec2 along, double curvature, Vec2 p) {
  const double ahead = dot(p - at, along);
  const double aside = cross(along, p - at);
  const Vec2 left = left_of(along);
  const double bow = 0.5 * curvature * ahead * ahead;
  Result<Spline> made =
      make_spline(3, {0, 0, 0, 0, 1, 1, 1, 1},
                  {at, at + ahead / 3.0 * along, at + 2.0 / 3.0 * ahead * along + bow / 3.0 * left,
                   at + ahead * along + aside * left});
  invariant(made.ok(), "four poles make a cubic");
  return *std::move(made);
}

double end_curvature(const Curve& curve, double t) {
  if (const auto* arc = std::get_if<Arc>(&curve)) return arc->segment().curvature();
  if (std::holds_alternative<Line>(curve)) return 0.0;
  const Vec2 first = derivative_at(curve, t);
  const double speed = norm(first);
  return speed > tolerance::kRoot.value()
             ? cross(first, second_derivative_at(curve, t)) / (speed * speed * speed)
             : 0.0;
}

}  // namespace

LongCurve::LongCurve(Curve own, double reach) : length_(lastwright::length(own)) {
  if (reach > 0.0) {
    const Curve back = run_on(start_of(own), -tangent_at(own, 0.0), -end_curvature(own, 0.0), reach);
    parts_[0] = reversed(back);
    parts_[2] = run_on(end_of(own), tangent_at(own, 1.0), end_curvature(own, 1.0), reach);
  }
  parts_[1] = std::move(own);
}

void LongCurve::run_on_to(Vec2 p) {
  parts_[2] = with_ends(bent_to(end_of(own()), tangent_at(own(), 1.0), end_curvature(own(), 1.0), p),
                        end_of(own()), p);
}
void LongCurve::run_back_to(Vec2 p) {
  const Curve back = bent_to(start_of(own()), -tangent_at(own(), 0.0), -end_curvature(own(), 0.0), p);
  parts_[0] = reversed(with_ends(back, start_of(own()), p));
}

LongPlace LongCurve::start() const {
  return {1, 0.0, start_of(own())};
}
LongPlace LongCurve::end() const {
  return {1, 1.0, end_of(own())};
}

double LongCurve::position(const LongPlace& place) const {
  const Curve& part = *parts_[place.part];
  const double offset = place.part == 0 ? -lastwright::length(part) : place.part == 2 ? length_ : 0.0;
  if (place.t <= 0.0) return offset;
  if (place.t >= 1.0) return offset + lastwright::length(part);
  const bool even = !std::holds_alternative<Spline>(part);
  return offset +
         (even ? place.t * lastwright::length(part) : lastwright::length(part_of(part, 0.0, place.t)));
}

std::vector<Curve> LongCurve::between(const LongPlace& from, const LongPlace& to) const {
  if (std::holds_alternative<Line>(own())) return {Line{from.at, to.at}};
  std::vector<Curve> curves;
  double turn = 0.0;
  bool arcs = true;
  for (std::size_t p = from.part; p <= to.part; ++p) {
    const double t0 = p == from.part ? from.t : 0.0;
    const double t1 = p == to.part ? to.t : 1.0;
    if ((t1 - t0) * lastwright::length(*parts_[p]) <= tolerance::kRoot.value()) continue;
    curves.push_back(t0 == 0.0 && t1 == 1.0 ? *parts_[p] : part_of(*parts_[p], t0, t1));
    const auto* arc = std::get_if<Arc>(&curves.back());
    arcs = arcs && arc != nullptr;
    if (arc) turn += arc->segment().sweep();
  }
  if (curves.empty()) return {Line{from.at, to.at}};
  if (arcs && std::abs(turn) <= std::numbers::pi) return {Arc{from.at, to.at, std::tan(0.25 * turn)}};
  curves.front() = with_ends(curves.front(), from.at, end_of(curves.front()));
  curves.back() = with_ends(curves.back(), start_of(curves.back()), to.at);
  return curves;
}

std::vector<LongCrossing> crossings(const LongCurve& one, const LongCurve& two) {
  std::vector<LongCrossing> found;
  for (std::size_t p = 0; p < 3; ++p) {
    for (std::size_t q = 0; q < 3; ++q) {
      if (!one.parts_[p] || !two.parts_[q]) continue;
      for (const CurveCrossing& c : curve_crossings(*one.parts_[p], *two.parts_[q]))
        found.push_back({{p, c.on_one, c.at}, {q, c.on_two, c.at}});
    }
  }
  return found;
}

}  // namespace lastwright
