#include "grading/grade/grade_map.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "tests/support/shell_forme.hpp"

using namespace lastwright;
using namespace lastwright::support;

TEST_CASE("no step is no change", "[grade map]") {
  const GradeMap map = *make_grade_map(shell_forme(), kMeasures);
  const Drivers still = *map.drivers(english_step(0, 0));
  for (Vec2 p : {Vec2{0, 0}, Vec2{120, 33}, Vec2{280, 90}}) CHECK(distance(map.graded(p, still), p) < 1e-12);
}

TEST_CASE("proportional rules give the exact two-axis scaling", "[grade map]") {
  const GradeMap map = *make_grade_map(shell_forme(), kMeasures);
  const Drivers d = *map.drivers(english_step(3, -1));
  const double sx = 1 + 25.4 / 280;
  // The ball line's length after the scaling, by hand: (15 sx)^2 + (81 sy)^2 = (L + dL)^2.
  const double wanted = std::hypot(15.0, 81.0) + 0.5 * 2 * 25.4 / 4 - 0.5 * (3 * 25.4 / 12 - 25.4 / 9);
  const double sy = std::sqrt(wanted * wanted - 15 * sx * 15 * sx) / 81;
  for (Vec2 p : {Vec2{190, 85}, Vec2{33, -7}, Vec2{260, 50}}) {
    CHECK(distance(map.graded(p, d), {sx * p.x, sy * p.y}) < 1e-9);
  }
}

TEST_CASE("the determinant is how much areas grow", "[grade map]") {
  const GradeMap plain = *make_grade_map(shell_forme(), kMeasures);
  const Drivers scaled = *plain.drivers(english_step(3, -1));
  const Vec2 unit_x = plain.graded({101, 40}, scaled) - plain.graded({100, 40}, scaled);
  const Vec2 unit_y = plain.graded({100, 41}, scaled) - plain.graded({100, 40}, scaled);
  CHECK(plain.determinant({77, 12}, scaled) == Approx(unit_x.x * unit_y.y));

  FormeSpec forme = shell_forme();
  forme.rules.push_back(PointRule{"counter top", {0.4, 1.7}, {0.0, 0.0}});
  forme.rules.push_back(PointRule{"throat", {3.0, -1.2}, {0.0, 0.4}});
  const GradeMap map = *make_grade_map(forme, kMeasures);
  const Drivers d = *map.drivers(english_step(4, 2));
  constexpr double kStep = 1e-3;
  for (const Vec2 p : {Vec2{10, 55}, Vec2{90, 30}, Vec2{155, 100}, Vec2{210, 20}}) {
    const Vec2 x = map.graded(p + Vec2{kStep, 0}, d) - map.graded(p - Vec2{kStep, 0}, d);
    const Vec2 y = map.graded(p + Vec2{0, kStep}, d) - map.graded(p - Vec2{0, kStep}, d);
    CHECK(map.determinant(p, d) == Approx(cross(x, y) / (4.0 * kStep * kStep)).epsilon(1e-6));
  }
}

TEST_CASE("what a digitised straight line is off in the drawing it keeps in every size", "[grade map]") {
  FormeSpec forme = shell_forme();
  const Vec2 a{30, 40};
  const Vec2 b{130, 60};
  const Vec2 middle = lerp(a, b, 0.4) + 0.04 * unit(left_of(b - a));
  forme.points.push_back({"one", a});
  forme.points.push_back({"between", middle});
  forme.points.push_back({"other", b});
  forme.rules.push_back(PointRule{"one", {0.0, 2.0}, {0.0, 0.0}});
  forme.rules.push_back(Straight{{"one", "between", "other"}});
  const GradeMap map = *make_grade_map(forme, kMeasures);
  for (const double sizes : {-3.0, 0.0, 1.0, 5.0}) {
    const Drivers d = *map.drivers(english_step(sizes, 0));
    const Vec2 from = map.graded(a, d);
    const double off = cross(unit(map.graded(b, d) - from), map.graded(middle, d) - from);
    CHECK(off == Approx(0.04).margin(1e-6));
    if (sizes == 0.0) CHECK(distance(map.graded(middle, d), middle) < 1e-9);
  }
}

TEST_CASE("every rule holds over the whole run, and the base line stays where it is", "[grade map]") {
  FormeSpec forme = shell_forme();
  forme.rules.push_back(PointRule{"counter top", {0.4, 1.7}, {0.0, 0.0}});
  forme.rules.push_back(Straight{{"throat", "ball top"}});
  forme.points.push_back({"strap one", {70, 90}});
  forme.points.push_back({"strap two", {82, 95}});
  forme.rules.push_back(Hold{{"strap one", "strap two"}});
  const GradeMap map = *make_grade_map(forme, kMeasures);
  CHECK(map.field().condition_number() < 1e6);
  for (double sizes : {-3.0, 0.5, 5.0}) {
    for (double widths : {-2.0, 0.0, 2.0}) {
      const GradeStep step = english_step(sizes, widths);
      const Drivers d = *map.drivers(step);
      for (const LineReading& line : map.readings(step, d))
        CHECK(std::abs(line.reached - line.wanted) < 1e-8);
      const Vec2 counter = map.graded({4, 60}, d);
      CHECK(counter.x == Approx(4 + 0.4 * sizes).margin(1e-8));
      CHECK(counter.y == Approx(60 + 1.7 * sizes).margin(1e-8));
      CHECK(distance(map.graded({70, 90}, d), map.graded({82, 95}, d)) == Approx(13).margin(1e-8));
      for (double x = -20; x < 300; x += 7.7) CHECK(std::abs(map.graded({x, 0}, d).y) < 1e-12);
      const Vec2 a = map.graded({150, 110}, d);
      const Vec2 b = map.graded({190, 85}, d);
      for (double s = 0.05; s < 1; s += 0.05) {
        const Vec2 p = map.graded(lerp({150, 110}, {190, 85}, s), d);
        CHECK(std::abs(cross(unit(b - a), p - a)) < 2e-3);
      }
      CHECK(map.determinant({120, 60}, d) > 0.5);
    }
  }
}

TEST_CASE("what crosses a line square does so in every size", "[grade map]") {
  FormeSpec forme = shell_forme();
  forme.rules.push_back(PointRule{"counter top", {0.4, 1.7}, {0.0, 0.0}});
  const auto across = [](const FormeSpec& spec, double sizes, double widths) {
    const GradeMap map = *make_grade_map(spec, kMeasures);
    const Drivers d = *map.drivers(english_step(sizes, widths));
    const Vec2 a{150, 110};  // throat and ball top
    const Vec2 b{190, 85};
    const Vec2 n = 1e-3 * left_of(unit(b - a));
    const Vec2 line = map.graded(b, d) - map.graded(a, d);
    return angle_between(line, map.graded(a + n, d) - map.graded(a - n, d)) - 0.5 * std::numbers::pi;
  };
  CHECK(std::abs(across(forme, 5, -2)) > 0.01);  // without the rule
  forme.rules.push_back(Square{{"throat"}, "throat", "ball top"});
  for (double sizes : {-3.0, 0.5, 5.0}) {
    for (double widths : {-2.0, 0.0, 2.0}) CHECK(std::abs(across(forme, sizes, widths)) < 1e-4);
  }
  forme.rules.back() = Square{{"heel"}, "throat", "ball top"};
  CHECK_FALSE(make_grade_map(forme, kMeasures).ok());  // a point off the line
}

TEST_CASE("the derivative is that of the displacement", "[grade map]") {
  FormeSpec forme = shell_forme();
  forme.rules.push_back(PointRule{"counter top", {0.4, 1.7}, {0.0, 0.3}});
  forme.base_line = {"heel", "ball feather"};  // an axis that is not the x axis
  forme.rules[0] = MeasureLine{"stick", "heel", "ball feather", {{"stick length", 1}}};
  const GradeMap map = *make_grade_map(forme, kMeasures);
  std::vector<DriverValue> at(map.field().drivers());
  std::vector<DriverValue> low(at.size());
  std::vector<DriverValue> high(at.size());
  constexpr double h = 1e-4;
  for (Vec2 p : {Vec2{20, 40}, Vec2{4, 60}, Vec2{188, 80}}) {
    map.field().evaluate(p, at);
    map.field().evaluate(p - Vec2{h, 0}, low);
    map.field().evaluate(p + Vec2{h, 0}, high);
    for (std::size_t j = 0; j < at.size(); ++j)
      CHECK(norm((high[j].u - low[j].u) / (2 * h) - at[j].ux) < 1e-7);
    map.field().evaluate(p - Vec2{0, h}, low);
    map.field().evaluate(p + Vec2{0, h}, high);
    for (std::size_t j = 0; j < at.size(); ++j)
      CHECK(norm((high[j].u - low[j].u) / (2 * h) - at[j].uy) < 1e-7);
  }
}

TEST_CASE("a rule that contradicts another is refused by name", "[grade map]") {
  FormeSpec forme = shell_forme();
  forme.rules.push_back(PointRule{"toe", {0.0, 2.0}, {0.0, 0.0}});  // the toe lies on the base line
  const GradeMap map = *make_grade_map(forme, kMeasures);
  const Result<Drivers> refused = map.drivers(english_step(1, 0));
  REQUIRE_FALSE(refused);
  CHECK(to_text(refused.problem()).find("point toe") != std::string::npos);
}

TEST_CASE("unknown names and useless lines are refused", "[grade map]") {
  FormeSpec forme = shell_forme();
  forme.fixed_point = "throat";
  CHECK_FALSE(make_grade_map(forme, kMeasures));
  forme = shell_forme();
  forme.girth_line = "stick";
  CHECK_FALSE(make_grade_map(forme, kMeasures));
  forme = shell_forme();
  forme.rules.push_back(Hold{{"nowhere", "toe"}});
  CHECK_FALSE(make_grade_map(forme, kMeasures));
}
