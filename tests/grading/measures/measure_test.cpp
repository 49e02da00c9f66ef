#include "grading/measures/measure.hpp"

#include <catch2/catch.hpp>

#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

const Fraction kExactInch(127, 5);

Size at_position(Fraction position) {
  return {position, to_decimal(position)};
}
SizeWidth cell(Fraction size, Fraction width) {
  return {at_position(size), {width, to_decimal(width)}};
}
Quantity inches(std::int64_t numerator, std::int64_t denominator = 1) {
  return millimetres(kExactInch * Fraction(numerator, denominator));
}

// Base 8 (position 21) in the third width; 11 in long.
const Base kBase{cell(21, 2), kExactInch * 11, kExactInch / 3};

Measure joint() {
  Measure measure;
  measure.name = "ball girth";
  measure.base = millimetres(246);
  measure.per_size = inches(1, 4);
  measure.per_width = inches(1, 4);
  measure.breaks = {{at_position(1), at_position(10), inches(3, 16), inches(1, 8)}};
  return measure;
}

}  // namespace

TEST_CASE("equal steps add up, across a break by its parts", "[measure]") {
  const Measure measure = joint();
  CHECK(value_of(measure, kBase, kBase.at) == 246);
  CHECK(increment_of(measure, kBase, cell(23, 3)) == kExactInch * Fraction(3, 4));
  CHECK(increment_of(measure, kBase, cell(10, 2)) == kExactInch * Fraction(-11, 4));
  CHECK(increment_of(measure, kBase, cell(8, 2)) ==
        kExactInch * Fraction(-25, 8));  // 11 quarters and 2 of 3/16
  // A half size that straddles nothing, and one on either side of the border.
  CHECK(increment_of(measure, kBase, cell({19, 2}, 2)) == kExactInch * (Fraction(-11, 4) - Fraction(3, 32)));
  CHECK(increment_of(measure, kBase, cell({21, 2}, 2)) == kExactInch * (Fraction(-11, 4) + Fraction(1, 8)));
  // The width goes by the size it is made in; the border belongs to the stretch.
  CHECK(increment_of(measure, kBase, cell(10, 3)) == kExactInch * (Fraction(-11, 4) + Fraction(1, 8)));
  CHECK(increment_of(measure, kBase, cell(11, 3)) == kExactInch * (Fraction(-10, 4) + Fraction(1, 4)));
  // Below the break the measure's own step holds again.
  CHECK(increment_of(measure, kBase, cell(0, 2)) ==
        kExactInch * (Fraction(-11, 4) - Fraction(27, 16) - Fraction(1, 4)));
}

TEST_CASE("where two stretches meet the lower one's width step holds, in whatever order they stand",
          "[measure]") {
  Measure measure = joint();
  measure.breaks = {{at_position(1), at_position(10), {}, inches(1, 8)},
                    {at_position(10), at_position(12), {}, inches(3, 8)}};
  for (int order = 0; order < 2; ++order) {
    CHECK(width_step_at(measure, at_position(9)) == kExactInch / 8);
    CHECK(width_step_at(measure, at_position(10)) == kExactInch / 8);
    CHECK(width_step_at(measure, at_position(11)) == kExactInch * Fraction(3, 8));
    CHECK(width_step_at(measure, at_position(13)) == kExactInch / 4);
    std::swap(measure.breaks[0], measure.breaks[1]);
  }
}

TEST_CASE("a proportional measure keeps its ratio to the scale's length exactly", "[measure]") {
  Measure measure = joint();
  measure.law = Law::kProportional;
  measure.breaks.clear();
  for (int position = 14; position <= 27; ++position) {
    const Fraction length = kBase.length + kBase.step * (position - 21);
    CHECK(value_of(measure, kBase, cell(position, 2)) == Fraction(246) * length / kBase.length);
    CHECK(value_of(measure, kBase, cell(position, 3)) - value_of(measure, kBase, cell(position, 2)) ==
          kExactInch / 4);
  }
  // A break goes by equal steps; the ratio goes on from where it ends.
  measure.breaks = {{at_position(15), at_position(18), millimetres(5), {}}};
  const Fraction at_18 = Fraction(246) * (kBase.length - kBase.step * 3) / kBase.length;
  CHECK(value_of(measure, kBase, cell(15, 2)) == at_18 - 15);
  CHECK(value_of(measure, kBase, cell(14, 2)) ==
        (at_18 - 15) * (kBase.length - kBase.step * 7) / (kBase.length - kBase.step * 6));
}

// Worked oracle O23: Shoe and Leather Lexicon, 4th ed. 1918: 1/8 to 1/4 of a size for each width from the
// sample width, 1.06 to 2.12 mm, wider longer and narrower shorter.
TEST_CASE("the width-to-length extra lengthens the wider and shortens the narrower", "[measure]") {
  Measure length;
  length.name = "stick length";
  length.base = inches(11);
  length.per_size = inches(1, 3);
  CHECK(increment_of(length, kBase, cell(21, 4)) == 0);  // off by default
  struct Case {
    Fraction extra;
    double millimetres;
  };
  for (const Case& one : {Case{{1, 8}, 1.06}, Case{{1, 4}, 2.12}}) {
    length.size_steps_per_width = one.extra;
    CHECK(increment_of(length, kBase, cell(21, 3)).value() == Approx(one.millimetres).margin(0.005));
    CHECK(increment_of(length, kBase, cell(21, 0)).value() == Approx(-2 * one.millimetres).margin(0.01));
    CHECK(increment_of(length, kBase, cell(22, 2)) == kExactInch / 3);
  }
}

TEST_CASE("steps down and up again come back to the base", "[measure]") {
  test::holds_for_all("a table does not depend on which of its rows is the base", [] {
    Measure measure = joint();
    measure.law = *rc::gen::element(Law::kArithmetic, Law::kProportional);
    const Fraction from(*rc::gen::inRange(0, 60), 2);
    const Fraction to(*rc::gen::inRange(0, 60), 2);
    const Fraction width(*rc::gen::inRange(0, 6));
    // Taking another base from the table itself must give the same table.
    Base other = kBase;
    other.at = cell(from, 2);
    other.length = kBase.length + kBase.step * (from - 21);
    Measure moved = measure;
    moved.base = millimetres(value_of(measure, kBase, other.at));
    RC_ASSERT(value_of(moved, other, cell(to, width)) == value_of(measure, kBase, cell(to, width)));
  });
}

TEST_CASE("a measure without sense is refused", "[measure]") {
  CHECK(check_measure(joint()));
  Measure measure = joint();
  measure.base = millimetres(0);
  CHECK_FALSE(check_measure(measure));
  measure = joint();
  measure.breaks.push_back({at_position(9), at_position(12), inches(1, 8), {}});
  CHECK(check_measure(measure).problem().message.find("overlap") != std::string::npos);
  measure.breaks.back() = {at_position(12), at_position(12), inches(1, 8), {}};
  CHECK_FALSE(check_measure(measure));
  measure.breaks.back() = {at_position(12), at_position(13), {}, {}};
  CHECK_FALSE(check_measure(measure));
  measure = joint();
  measure.size_steps_per_width = 2;
  CHECK_FALSE(check_measure(measure));
}
