// The grade against worked examples of grading by hand. All from F. Y.
// Golding, The Manufacture of Boots and Shoes (London 1902): the section is
// named at each check. Lengths in millimetres, the book's inches times 25.4.
#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <vector>

#include "grading/grade/grade_map.hpp"
#include "tests/support/shell_forme.hpp"

using namespace lastwright;

namespace {

constexpr double kInch = 25.4;

// A forme with a straight axis of `length` and one line of `across` square to it, from y = -below upwards.
FormeSpec plain_forme(double length, double across, double below = 0.0) {
  FormeSpec forme;
  forme.name = "forme";
  forme.points = {{"heel", {0, 0}},
                  {"toe", {length, 0}},
                  {"low", {0.7 * length, -below}},
                  {"high", {0.7 * length, across - below}}};
  forme.base_line = {"heel", "toe"};
  forme.fixed_point = "heel";
  forme.length_line = "stick";
  forme.girth_line = "across";
  forme.rules = {MeasureLine{"stick", "heel", "toe", {{"length", 1}}},
                 MeasureLine{"across", "low", "high", {{"girth", 1}}}};
  return forme;
}

const std::vector<std::string> kTwoMeasures = {"length", "girth"};

// One size further on: the axis takes `length`, the line across takes `girth`.
struct OneSize {
  GradeMap map;
  Drivers drivers;
  OneSize(const FormeSpec& forme, double length, double girth)
      : map(*make_grade_map(forme, kTwoMeasures)), drivers(*map.drivers({{length, girth}, 1, 0})) {}
  [[nodiscard]] Vec2 graded(Vec2 p) const { return map.graded(p, drivers); }
  [[nodiscard]] double grade_of(Vec2 a, Vec2 b) const {
    return distance(graded(a), graded(b)) - distance(a, b);
  }
};

}  // namespace

// 'Shoe Grading', Fig. 148: a part p along the last of length L takes p u / L of the size unit u.
// With ladies' 5 (10 in) and a vamp 3 in high: 0.100 in a size.
TEST_CASE("a part along the last takes its share of the size unit", "[hand grading]") {
  const double length = 10 * kInch;
  const OneSize size(plain_forme(length, 4 * kInch), kInch / 3, kInch / 8);
  const Vec2 toe{length, 0};
  const Vec2 vamp_point{length - 3 * kInch, 0};
  CHECK(size.grade_of(toe, vamp_point) == Approx(0.100 * kInch).margin(1e-9));
  CHECK(size.grade_of(toe, {0, 0}) == Approx(kInch / 3).margin(1e-9));
}

// 'Shoe Grading': a part w across the pattern takes w u / S, S the distance round the last.
TEST_CASE("a part across the surface takes its share of the girth unit", "[hand grading]") {
  const double around = 4.5 * kInch;
  const OneSize size(plain_forme(10 * kInch, around), kInch / 3, kInch / 8);
  for (double part : {0.75, 1.5, 3.0}) {
    const double grade = size.grade_of({120, 0}, {120, part * kInch});
    CHECK(grade == Approx(part * kInch * (kInch / 8) / around).margin(1e-9));
  }
}

// 'Description of the Method', footnote: ladies' 5 has its toe, joint and instep stations 1 1/2, 3 and 5 in
// from the toe, that is 0.15, 0.30 and 0.50 of its length; they keep these fractions in every size.
TEST_CASE("stations keep their fraction of the last", "[hand grading]") {
  const double length = 10 * kInch;
  for (double sizes : {-3.0, 0.5, 6.0}) {
    const OneSize size(plain_forme(length, 4 * kInch), sizes * kInch / 3, sizes * kInch / 8);
    const double graded_length = length + sizes * kInch / 3;
    for (double inches : {1.5, 3.0, 5.0}) {
      const double from_toe = distance(size.graded({length, 0}), size.graded({length - inches * kInch, 0}));
      CHECK(from_toe / graded_length == Approx(inches / 10).margin(1e-12));
    }
  }
}

// Pages 99-101, the pattern pantograph: men's 7 is 32 thirds of an inch long and its tread of 3 in is 36
// twelfths, so one size is 1/32 of the length and 1/36 of the width: two settings. With the width setting
// left at nothing, the tread would take 3/32 in instead of 1/12.
TEST_CASE("length and width are set apart", "[hand grading]") {
  const double length = 32 * kInch / 3;
  const FormeSpec sole = plain_forme(length, 3 * kInch, 1.5 * kInch);
  const OneSize corrected(sole, kInch / 3, kInch / 12);
  const Vec2 inner{0.7 * length, -1.5 * kInch};
  const Vec2 outer{0.7 * length, 1.5 * kInch};
  CHECK(corrected.grade_of(inner, outer) == Approx(kInch / 12).margin(1e-9));
  for (Vec2 p : {Vec2{40, 20}, Vec2{200, -31}}) {
    CHECK(distance(corrected.graded(p), {p.x * (1 + 1.0 / 32), p.y * (1 + 1.0 / 36)}) < 1e-9);
  }
  const OneSize uncorrected(sole, kInch / 3, 3 * kInch / 32);
  CHECK(distance(uncorrected.graded({150, 22}), Vec2{150, 22} * (1 + 1.0 / 32)) < 1e-9);
}

// 'Grading other Sizes and Fittings of Sole-Shapes': where the tread is not centred on the length line, its
// grade is divided in proportion to the two halves, the larger part on the larger side.
TEST_CASE("unequal halves take unequal parts", "[hand grading]") {
  const double inside = 1.1 * kInch;
  const double outside = 1.9 * kInch;
  const OneSize fitting(plain_forme(11 * kInch, inside + outside, inside), 0.0, kInch / 9);
  const double x = 0.7 * 11 * kInch;
  CHECK(-inside - fitting.graded({x, -inside}).y ==
        Approx(kInch / 9 * inside / (inside + outside)).margin(1e-9));
  CHECK(fitting.graded({x, outside}).y - outside ==
        Approx(kInch / 9 * outside / (inside + outside)).margin(1e-9));
}

// The same section: a seat of three quarters of the tread takes three quarters of its grade, 1/12 in for 1/9
// in. By shifting the shape it would get 1/18 in: then the seat has a measure line of its own, which must be
// met as well.
TEST_CASE("the seat follows the tread, or its own rule", "[hand grading]") {
  const double length = 11 * kInch;
  FormeSpec sole = plain_forme(length, 3 * kInch, 1.5 * kInch);
  const double half_seat = 0.5 * 0.75 * 3 * kInch;
  const Vec2 seat_in{length / 6, -half_seat};
  const Vec2 seat_out{length / 6, half_seat};
  CHECK(OneSize(sole, 0.0, kInch / 9).grade_of(seat_in, seat_out) == Approx(kInch / 12).margin(1e-9));

  sole.points.push_back({"seat in", seat_in});
  sole.points.push_back({"seat out", seat_out});
  sole.rules.push_back(
      MeasureLine{"seat", "seat in", "seat out", {{"girth", Fraction(1, 2)}}});  // half of 1/9 in
  const OneSize shifted(sole, 0.0, kInch / 9);
  CHECK(shifted.grade_of(seat_in, seat_out) == Approx(kInch / 18).margin(1e-6));
  CHECK(shifted.grade_of({0.7 * length, -1.5 * kInch}, {0.7 * length, 1.5 * kInch}) ==
        Approx(kInch / 9).margin(1e-6));
}

// 'Shoe Grading (continued)': a flat forme holds half the
// girth, so of 1/4 in round the joint it takes 1/8 in.
TEST_CASE("the forme takes half the girth", "[hand grading]") {
  FormeSpec forme = plain_forme(10 * kInch, 4 * kInch);
  std::get<MeasureLine>(forme.rules[1]).carries = {{"girth", Fraction(1, 2)}};
  const OneSize size(forme, kInch / 3, kInch / 4);
  CHECK(size.grade_of({0.7 * 254, 0}, {0.7 * 254, 4 * kInch}) == Approx(kInch / 8).margin(1e-9));
}

// 'Shoe Grading (continued)', grading from two patterns: between a small and a large pattern k sizes apart
// every joining line is cut into k equal parts. Exact where rules are proportional; a forme with irregular
// rules bends these lines by the second order of its corrections only.
TEST_CASE("sizes between two patterns divide their joining lines equally", "[hand grading]") {
  constexpr int k = 8;
  const auto worst_departure = [](const FormeSpec& forme) {
    const GradeMap map = *make_grade_map(forme, support::kMeasures);
    const Drivers small = *map.drivers(support::english_step(-k / 2.0, 0));
    const Drivers large = *map.drivers(support::english_step(k / 2.0, 0));
    double worst = 0.0;
    for (int j = 1; j < k; ++j) {
      const Drivers between = *map.drivers(support::english_step(j - k / 2.0, 0));
      for (Vec2 p : {Vec2{188, 80}, Vec2{30, 60}, Vec2{270, 12}, Vec2{120, 90}}) {
        const Vec2 divided = lerp(map.graded(p, small), map.graded(p, large), static_cast<double>(j) / k);
        worst = std::max(worst, distance(divided, map.graded(p, between)));
      }
    }
    return worst;
  };
  FormeSpec plain = support::shell_forme();
  plain.points[2].at.x =
      plain.points[3].at.x;  // a ball line square to the axis, on it: the scaling is linear
  plain.points[3].at.y = 0.0;
  CHECK(worst_departure(plain) < 1e-9);
  FormeSpec irregular = support::shell_forme();
  irregular.rules.push_back(PointRule{"counter top", {0.4, 1.7}, {0.0, 0.0}});
  CHECK(worst_departure(irregular) < 0.02);
}
