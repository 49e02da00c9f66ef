#include "geometry/curve/fair.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "geometry/curve/curve_measure.hpp"
#include "geometry/curve/nearest.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

std::vector<Curve> chords(const std::vector<Vec2>& points) {
  std::vector<Curve> lines;
  for (std::size_t i = 0; i + 1 < points.size(); ++i) lines.emplace_back(Line{points[i], points[i + 1]});
  return lines;
}

double off(const std::vector<Curve>& curves, Vec2 p) {
  double least = INFINITY;
  for (const Curve& curve : curves) least = std::min(least, nearest(curve, p).distance);
  return least;
}

double turn_between(const Curve& one, const Curve& next) {
  return std::abs(angle_between(tangent_at(one, 1.0), tangent_at(next, 0.0)));
}

Curve bow(Vec2 a, Vec2 b, Vec2 c, Vec2 d) {
  return *make_spline(3, {0, 0, 0, 0, 1, 1, 1, 1}, {a, b, c, d});
}

}  // namespace

TEST_CASE("curves drawn in short chords come back as few smooth arcs", "[fair]") {
  std::size_t asked = 0;
  test::holds_for_all("no vertex farther than asked, the curve near, smooth, ends and corners to the bit",
                      [&] {
                        const auto x = [](int low, int high) { return *rc::gen::inRange(low, high) / 10.0; };
                        const Vec2 start{0, 0};
                        const Vec2 corner{x(900, 1500), x(-300, 300)};
                        const Vec2 end{x(2000, 2600), x(-300, 300)};
                        const std::vector<Curve> drawn{
                            bow(start, {x(200, 500), x(-400, 400)}, {x(500, 800), x(-400, 400)}, corner),
                            bow(corner, {x(1300, 1700), x(400, 900)}, {x(1700, 2000), x(-400, 400)}, end)};
                        RC_PRE(turn_between(drawn[0], drawn[1]) > 0.6);
                        const double chord = *rc::gen::element(0.002, 0.01, 0.03);
                        const double within = 3.0 * chord;
                        std::vector<Vec2> points = flattened(drawn[0], Millimetres(chord));
                        const std::vector<Vec2> more = flattened(drawn[1], Millimetres(chord));
                        points.insert(points.end(), more.begin() + 1, more.end());
                        FairOptions options;
                        options.within = Millimetres(within);
                        const Faired faired = fair(chords(points), false, options);
                        RC_PRE(faired.chords > 20);
                        ++asked;
                        RC_ASSERT(faired.worst <= within);
                        RC_ASSERT(faired.curves.size() < faired.chords);
                        RC_ASSERT(start_of(faired.curves.front()) == start);
                        RC_ASSERT(end_of(faired.curves.back()) == points.back());
                        std::size_t corners = 0;
                        for (std::size_t i = 0; i + 1 < faired.curves.size(); ++i) {
                          RC_ASSERT(end_of(faired.curves[i]) == start_of(faired.curves[i + 1]));
                          if (turn_between(faired.curves[i], faired.curves[i + 1]) > 0.35)
                            ++corners;
                          else
                            RC_ASSERT(turn_between(faired.curves[i], faired.curves[i + 1]) < 0.35);
                        }
                        RC_ASSERT(corners == 1u);
                        for (const Vec2 p : points) RC_ASSERT(off(faired.curves, p) <= within + 1e-9);
                        for (const Curve& curve : drawn) {
                          for (int i = 0; i <= 50; ++i)
                            RC_ASSERT(off(faired.curves, point_at(curve, 0.02 * i)) <= within + chord + 1e-9);
                        }
                      });
  CHECK(asked > 40);
}

TEST_CASE("the same chords give the same arcs whichever way they are walked", "[fair]") {
  test::holds_for_all("fair(reversed) = reversed(fair)", [] {
    const auto x = [](int low, int high) { return *rc::gen::inRange(low, high) / 10.0; };
    const Curve drawn =
        bow({0, 0}, {x(200, 500), x(-400, 400)}, {x(500, 800), x(-400, 400)}, {x(900, 1500), x(-300, 300)});
    std::vector<Vec2> points = flattened(drawn, Millimetres(0.01));
    const bool closed = *rc::gen::arbitrary<bool>();
    if (closed) {
      points.clear();
      const double wide = x(100, 400);
      for (int i = 0; i < 60; ++i)
        points.push_back({wide * std::cos(i * 0.10471975511965977), 30 * std::sin(i * 0.10471975511965977)});
      std::rotate(points.begin(), points.begin() + *rc::gen::inRange(0, 59), points.end());
      points.push_back(points.front());
    }
    FairOptions options;
    options.within = Millimetres(0.03);
    const Faired forth = fair(chords(points), closed, options);
    std::reverse(points.begin(), points.end());
    const Faired back = fair(chords(points), closed, options);
    RC_PRE(forth.chords > 0u);
    RC_ASSERT(forth.curves.size() == back.curves.size());
    for (const Curve& curve : forth.curves) {
      const bool found = std::any_of(back.curves.begin(), back.curves.end(), [&](const Curve& other) {
        return start_of(other) == end_of(curve) && end_of(other) == start_of(curve) &&
               distance(point_at(other, 0.5), point_at(curve, 0.5)) < 1e-9;
      });
      RC_ASSERT(found);
    }
  });
}

TEST_CASE("chords that are moved, mirrored or parted in their middles give the same arcs", "[fair]") {
  std::size_t asked = 0;
  test::holds_for_all("fair(moved) = moved(fair)", [&] {
    const auto x = [](int low, int high) { return *rc::gen::inRange(low, high) / 10.0; };
    std::vector<Curve> drawn{
        bow({0, 0}, {x(200, 500), x(-400, 400)}, {x(500, 800), x(-400, 400)}, {x(900, 1500), x(-300, 300)})};
    std::vector<Vec2> points = flattened(drawn[0], Millimetres(0.01));
    const bool closed = *rc::gen::arbitrary<bool>();
    // A straight side that is many times as long as the chords, and a corner to close by.
    points.push_back(points.back() + 80.0 * unit(points.back() - points[points.size() - 2]));
    if (closed) {
      points.push_back({40, 300});
      points.push_back({0, 0});
    }
    const bool mirrored = *rc::gen::arbitrary<bool>();
    const double angle = x(-30, 31);
    const Vec2 shift{x(-900, 900), x(-900, 900)};
    const auto put = [&](Vec2 p) {
      const Vec2 q{mirrored ? -p.x : p.x, p.y};
      return Vec2{std::cos(angle) * q.x - std::sin(angle) * q.y,
                  std::sin(angle) * q.x + std::cos(angle) * q.y} +
             shift;
    };
    std::vector<Vec2> other;
    const bool parted = *rc::gen::arbitrary<bool>();
    for (std::size_t i = 0; i < points.size(); ++i) {
      if (parted && i > 0) other.push_back(put(0.5 * (points[i - 1] + points[i])));
      other.push_back(put(points[i]));
    }
    FairOptions options;
    options.within = Millimetres(0.03);
    const Faired one = fair(chords(points), closed, options);
    const Faired two = fair(chords(other), closed, options);
    // Symmetric chords may be walked from either end.
    RC_PRE(std::abs(distance(points[0], points[1]) -
                    distance(points[points.size() - 3], points[points.size() - 2])) > 0.01);
    RC_PRE(one.arcs > 4u);
    ++asked;
    for (const Curve& curve : one.curves) {
      if (std::holds_alternative<Line>(curve)) continue;
      const bool found = std::any_of(two.curves.begin(), two.curves.end(), [&](const Curve& there) {
        return distance(start_of(there), put(start_of(curve))) < 1e-6 &&
               distance(end_of(there), put(end_of(curve))) < 1e-6 &&
               distance(point_at(there, 0.5), put(point_at(curve, 0.5))) < 1e-6;
      });
      RC_ASSERT(found);
    }
    RC_ASSERT(two.arcs == one.arcs);
  });
  CHECK(asked > 30);
}

TEST_CASE("a circle of chords becomes a circle, smooth where it closes", "[fair]") {
  std::vector<Vec2> points;
  for (int i = 0; i <= 72; ++i)
    points.push_back({30 * std::cos(i * 0.0872664625997165), 30 * std::sin(i * 0.0872664625997165)});
  points.back() = points.front();
  FairOptions options;
  options.within = Millimetres(0.001);
  const Faired faired = fair(chords(points), true, options);
  CHECK(faired.chords == 72);
  CHECK(faired.arcs <= 16);
  double length_of_all = 0.0;
  for (std::size_t i = 0; i < faired.curves.size(); ++i) {
    length_of_all += length(faired.curves[i]);
    CHECK(turn_between(faired.curves[i], faired.curves[(i + 1) % faired.curves.size()]) < 1e-6);
  }
  CHECK(length_of_all == Approx(188.49555921538757).margin(1e-6));
}

TEST_CASE("polygons and straight lines that were meant stay as they are", "[fair]") {
  const std::vector<Vec2> square{{0, 0}, {40, 0}, {40, 30}, {0, 30}, {0, 0}};
  CHECK(fair(chords(square), true).chords == 0);
  // A straight side of 100 mm that runs into a curve of chords stays straight.
  std::vector<Vec2> run{{-100, 0}, {0, 0}};
  for (int i = 1; i <= 18; ++i)
    run.push_back({20 * std::sin(i * 0.0872664625997165), 20 - 20 * std::cos(i * 0.0872664625997165)});
  const Faired faired = fair(chords(run), false);
  REQUIRE(faired.chords == 18);
  const Line* side = std::get_if<Line>(&faired.curves.front());
  REQUIRE(side != nullptr);
  CHECK(side->a == Vec2{-100, 0});
  CHECK(side->b == Vec2{0, 0});
}
