#include "geometry/curve/spline.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/curve/curve_measure.hpp"

using namespace lastwright;
using Catch::Detail::Approx;

namespace {

Spline spline(int degree, std::vector<double> knots, std::vector<Vec2> poles,
              std::vector<double> weights = {}) {
  Result<Spline> made = make_spline(degree, std::move(knots), std::move(poles), std::move(weights));
  REQUIRE(made.ok());
  return *made;
}

const std::vector<Vec2> kWavy{{0, 0}, {10, 25}, {30, -20}, {45, 30}, {60, 5}, {80, 12}, {95, -8}};

Spline seven_poles() {
  return spline(3, {0, 0, 0, 0, 0.2, 0.55, 0.7, 1, 1, 1, 1}, kWavy);
}
Spline heavy() {
  return spline(3, {2, 2, 2, 2, 2.5, 3, 3, 4, 4, 4, 4}, kWavy, {1, 2, 0.5, 3, 1, 0.25, 1.5});
}
// Knots that do not stand at the ends: the curve starts and ends away from its poles.
Spline loose() {
  return spline(3, {-3, -2, -1, 0, 1, 2.5, 3, 4, 5, 6, 8}, kWavy);
}

// The textbook recursion of Cox and de Boor, straight from the definition.
double basis_function(const std::vector<double>& u, std::size_t i, int p, double t) {
  if (p == 0) return (u[i] <= t && t < u[i + 1]) ? 1.0 : 0.0;
  const auto k = static_cast<std::size_t>(p);
  double sum = 0.0;
  if (u[i + k] > u[i]) sum += (t - u[i]) / (u[i + k] - u[i]) * basis_function(u, i, p - 1, t);
  if (u[i + k + 1] > u[i + 1])
    sum += (u[i + k + 1] - t) / (u[i + k + 1] - u[i + 1]) * basis_function(u, i + 1, p - 1, t);
  return sum;
}

Vec2 by_definition(const std::vector<double>& u, int p, const std::vector<Vec2>& poles,
                   const std::vector<double>& weights, double t) {
  Vec2 sum;
  double total = 0.0;
  for (std::size_t i = 0; i < poles.size(); ++i) {
    const double b = basis_function(u, i, p, t) * (weights.empty() ? 1.0 : weights[i]);
    sum += b * poles[i];
    total += b;
  }
  return sum / total;
}

}  // namespace

TEST_CASE("spline points are those of the basis function definition", "[spline]") {
  for (double t : {0.0, 0.1, 0.2, 0.37, 0.55, 0.69, 0.93}) {
    const Vec2 a = by_definition({0, 0, 0, 0, 0.2, 0.55, 0.7, 1, 1, 1, 1}, 3, kWavy, {}, t);
    CHECK(distance(point_at(seven_poles(), t), a) < 1e-12);
    const Vec2 b =
        by_definition({2, 2, 2, 2, 2.5, 3, 3, 4, 4, 4, 4}, 3, kWavy, {1, 2, 0.5, 3, 1, 0.25, 1.5}, 2 + 2 * t);
    CHECK(distance(point_at(heavy(), t), b) < 1e-12);
    const Vec2 c = by_definition({-3, -2, -1, 0, 1, 2.5, 3, 4, 5, 6, 8}, 3, kWavy, {}, 4 * t);
    CHECK(distance(point_at(loose(), t), c) < 1e-12);
  }
}

TEST_CASE("a loose spline is clamped without moving its curve", "[spline]") {
  const Spline s = loose();
  CHECK(s.knots().size() == s.poles().size() + 4);
  CHECK(s.knots()[3] == 0.0);
  CHECK(s.knots()[s.poles().size()] == 1.0);
  CHECK(distance(s.poles().front(),
                 by_definition({-3, -2, -1, 0, 1, 2.5, 3, 4, 5, 6, 8}, 3, kWavy, {}, 0.0)) < 1e-12);
}

TEST_CASE("a periodic spline given with wrapped poles closes smoothly", "[spline]") {
  std::vector<Vec2> poles{{0, 0}, {20, -5}, {30, 15}, {10, 30}, {-8, 12}};
  for (std::size_t i = 0; i < 3; ++i) poles.push_back(poles[i]);
  std::vector<double> knots;
  for (int i = 0; i < 12; ++i) knots.push_back(i);
  const Spline s = spline(3, knots, poles);
  CHECK(distance(start_of(s), end_of(s)) < 1e-12);
  CHECK(distance(derivative_at(s, 0.0), derivative_at(s, 1.0)) < 1e-10);
  CHECK(distance(second_derivative_at(s, 0.0), second_derivative_at(s, 1.0)) < 1e-9);
}

TEST_CASE("derivatives match central differences", "[spline]") {
  for (const Spline& s : {seven_poles(), heavy(), loose()}) {
    for (double t : {0.05, 0.31, 0.48, 0.83}) {
      const double h = 1e-5;
      const Vec2 d = (point_at(s, t + h) - point_at(s, t - h)) / (2 * h);
      CHECK(distance(derivative_at(s, t), d) < 1e-6 * (1 + norm(d)));
      const Vec2 dd = (derivative_at(s, t + h) - derivative_at(s, t - h)) / (2 * h);
      CHECK(distance(second_derivative_at(s, t), dd) < 1e-6 * (1 + norm(dd)));
    }
  }
}

TEST_CASE("parts, reversal and Bezier pieces are the same curve", "[spline]") {
  for (const Spline& s : {seven_poles(), heavy(), loose()}) {
    const Curve part = part_of(Curve(s), 0.13, 0.81);
    const Curve back = reversed(Curve(s));
    for (double t : {0.0, 0.2, 0.5, 0.77, 1.0}) {
      CHECK(distance(point_at(part, t), point_at(s, 0.13 + 0.68 * t)) < 1e-11);
      CHECK(distance(point_at(back, t), point_at(s, 1 - t)) < 1e-11);
    }
    CHECK(bezier_pieces(s).size() == interior_knots(s).size() + 1);
    CHECK(length(part_of(Curve(s), 0.0, 0.3)) + length(part_of(Curve(s), 0.3, 1.0)) ==
          Approx(length(Curve(s))).epsilon(1e-8));
  }
}

TEST_CASE("a knot in the middle may be cut at", "[spline]") {
  const Curve left = part_of(Curve(seven_poles()), 0.0, 0.55);
  const Curve right = part_of(Curve(seven_poles()), 0.55, 1.0);
  CHECK(distance(end_of(left), start_of(right)) < 1e-12);
  CHECK(distance(end_of(left), point_at(seven_poles(), 0.55)) < 1e-12);
}

TEST_CASE("bounds of a spline hold it tightly", "[spline]") {
  for (const Spline& s : {seven_poles(), heavy(), loose()}) {
    const Box2 box = bounds(Curve(s));
    Box2 sampled;
    for (int i = 0; i <= 200000; ++i) sampled.add(point_at(s, i / 200000.0));
    CHECK(box.low.x <= sampled.low.x + 1e-9);
    CHECK(box.high.y >= sampled.high.y - 1e-9);
    CHECK(box.low.y == Approx(sampled.low.y).margin(1e-6));
    CHECK(box.high.y == Approx(sampled.high.y).margin(1e-6));
    CHECK(box.high.x == Approx(sampled.high.x).margin(1e-6));
  }
}

TEST_CASE("length of a parabola is the closed formula", "[spline]") {
  // y = x^2 over [0, 1] as a quadratic Bezier curve; its length: sqrt(5)/2 + asinh(2)/4.
  const Spline parabola = spline(2, {0, 0, 0, 1, 1, 1}, {{0, 0}, {0.5, 0}, {1, 1}});
  CHECK(length(Curve(parabola), Millimetres(1e-13)) ==
        Approx(std::sqrt(5.0) / 2 + std::asinh(2.0) / 4).epsilon(1e-12));
  CHECK(swept_area(Curve(parabola), {0, 0}, 1e-9) == Approx(1.0 / 2 - 1.0 / 3));
}

TEST_CASE("an ellipse arc is exact and its perimeter the known integral", "[spline]") {
  const Result<Spline> full = ellipse_arc({5, -3}, {40, 30}, 0.6, Radians(0), Radians(2 * std::numbers::pi));
  REQUIRE(full.ok());
  CHECK(start_of(*full) == end_of(*full));
  // 4 a E(e) with a = 50, e = 0.8; E(0.8) = 1.276349943169906 (scipy.special.ellipe(0.64)).
  CHECK(length(Curve(*full)) == Approx(4 * 50 * 1.276349943169906).epsilon(1e-10));
  const Result<Spline> part = ellipse_arc({0, 0}, {50, 0}, 0.6, Radians(0.4), Radians(3.9));
  REQUIRE(part.ok());
  for (int i = 0; i <= 40; ++i) {
    const Vec2 p = point_at(*part, i / 40.0);
    CHECK(std::hypot(p.x / 50, p.y / 30) == Approx(1.0).epsilon(1e-13));
  }
  CHECK(distance(start_of(*part), {50 * std::cos(0.4), 30 * std::sin(0.4)}) < 1e-12);
  CHECK(distance(end_of(*part), {50 * std::cos(3.9), 30 * std::sin(3.9)}) < 1e-12);
  CHECK_FALSE(ellipse_arc({0, 0}, {50, 0}, 0.6, Radians(1.0), Radians(1.0)).ok());
  CHECK_FALSE(ellipse_arc({0, 0}, {0, 0}, 0.6, Radians(0.0), Radians(1.0)).ok());
}

TEST_CASE("tangents exist where the first derivative vanishes", "[spline]") {
  const Spline stall = spline(3, {0, 0, 0, 0, 1, 1, 1, 1}, {{0, 0}, {0, 0}, {3, 4}, {3, 4}});
  CHECK(distance(tangent_at(stall, 0.0), {0.6, 0.8}) < 1e-12);
  CHECK(distance(tangent_at(stall, 1.0), {0.6, 0.8}) < 1e-12);
}

TEST_CASE("what is no spline is refused with its reason", "[spline]") {
  struct Case {
    const char* name;
    int degree;
    std::vector<double> knots;
    std::vector<double> weights;
  };
  const double nan = std::nan("");
  const Case cases[] = {
      {"degree 0", 0, {0, 1, 2, 3, 4}, {}},
      {"degree 16", 16, {0, 1}, {}},
      {"knot count", 3, {0, 0, 0, 0, 1, 1, 1}, {}},
      {"falling knots", 3, {0, 0, 0, 0, 0.5, 0.4, 0.7, 1, 1, 1, 1}, {}},
      {"heavy inner knot", 2, {0, 0, 0, 0.5, 0.5, 0.5, 0.8, 1, 1, 1}, {}},
      {"no range", 3, {1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1}, {}},
      {"nan knot", 3, {0, 0, 0, 0, nan, 0.5, 0.7, 1, 1, 1, 1}, {}},
      {"zero weight", 3, {0, 0, 0, 0, 0.2, 0.55, 0.7, 1, 1, 1, 1}, {1, 1, 0, 1, 1, 1, 1}},
      {"weight count", 3, {0, 0, 0, 0, 0.2, 0.55, 0.7, 1, 1, 1, 1}, {1, 1}},
  };
  for (const Case& c : cases) {
    INFO(c.name);
    const Result<Spline> made = make_spline(c.degree, c.knots, kWavy, c.weights);
    REQUIRE_FALSE(made.ok());
    CHECK(made.problem().trouble == Trouble::kBadValue);
    CHECK_FALSE(made.problem().message.empty());
  }
}
