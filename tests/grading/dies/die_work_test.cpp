// What a die maker is told of special punches and bridges, over shapes of which it is known.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "grading/dies/order/die_making.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

// Half a circle bulges out of the end of a slot.
ClosedArcPath small_shape(int kind, double length, double width) {
  const double a = 0.5 * length;
  const double b = 0.5 * width;
  switch (kind) {
    case 0:  // lozenge
      return {{{{a, 0}}, {{0, b}}, {{-a, 0}}, {{0, -b}}}};
    case 1:  // rectangle
      return {{{{-a, -b}}, {{a, -b}}, {{a, b}}, {{-a, b}}}};
    case 2:  // slot
      return {{{{-a + b, -b}}, {{a - b, -b}, 1.0}, {{a - b, b}}, {{-a + b, b}, 1.0}}};
    default:  // lens: two arcs through its tips
      return {{{{-a, 0}, width / length}, {{a, 0}, width / length}}};
  }
}

}  // namespace

TEST_CASE("a special punch is stated by its length from tip to tip and the width across it", "[die]") {
  test::holds_for_all("lozenges, rectangles, slots, lenses, however they lie", [] {
    const int kind = *rc::gen::inRange(0, 4);
    const double width = 0.1 * *rc::gen::inRange(12, 80);
    const double length = width * (1.3 + 0.01 * *rc::gen::inRange(0, 400));
    const Radians turn(0.001 * *rc::gen::inRange(0, 6283));
    const Vec2 shift{1.0 * *rc::gen::inRange(-200, 200), 1.0 * *rc::gen::inRange(-200, 200)};
    const ClosedArcPath path = placed(small_shape(kind, length, width), turn, shift);
    const PunchSize size = punch_size(path);
    RC_ASSERT(std::abs(size.length - length) < 1e-3);
    RC_ASSERT(std::abs(size.across - width) < 1e-3);
  });
  DieShape shape;
  shape.cut.path = {{{{-40, -30}}, {{40, -30}}, {{40, 30}}, {{-40, 30}}}};
  shape.cut.edge = {0, 1, 2, 3};
  shape.cut_outs.push_back(small_shape(0, 12.0, 6.4));
  const DieFacts facts = measure_die(shape);
  CHECK(punches_text(die_work(shape, facts, {}, Millimetres(120.0))) == "1 x special 12.0 x 6.4 mm");
}

TEST_CASE("bridges are counted on the box that the order prints, however it lies", "[die]") {
  std::size_t apart = 0;
  test::holds_for_all("one for each length, or part of one, beyond the first", [&] {
    const double length = 1.0 * *rc::gen::inRange(80, 300);
    const double width = 1.0 * *rc::gen::inRange(60, 200);
    DieShape shape;
    shape.cut.path = {{{{0, 0}}, {{length, 0}}, {{length, width}}, {{0, width}}}};
    shape.cut.path = placed(shape.cut.path, Radians(0.01 * *rc::gen::inRange(0, 628)), {});
    shape.cut.edge = {0, 1, 2, 3};
    const Radians fold(0.01 * *rc::gen::inRange(0, 628));
    const Box2 box = bounds(placed(shape.cut.path, fold, {}));
    const auto called_for = [](double side) { return static_cast<std::size_t>(std::ceil(side / 120.0)) - 1; };
    const double longer = std::max(box.width(), box.height());
    RC_PRE(std::abs(longer / 120.0 - std::round(longer / 120.0)) > 1e-6);
    const DieWork work = die_work(shape, measure_die(shape), {}, Millimetres(120.0), fold);
    RC_ASSERT(work.bridges.size() == called_for(longer));
    apart += called_for(longer) != called_for(std::max(length, width)) ? 1 : 0;
    for (const Bridge& bar : work.bridges) {
      const Vec2 along = placed(bar.to - bar.from, Placement{fold, {}});
      RC_ASSERT(std::abs(box.width() >= box.height() ? along.x : along.y) < 1e-6);
    }
  });
  CHECK(apart > 10);
}

TEST_CASE("a bridge that is called for is proposed, or named as one without a place", "[die]") {
  std::size_t placed_all = 0;
  std::size_t none = 0;
  test::holds_for_all("called for = proposed + without a place", [&] {
    const double length = 1.0 * *rc::gen::inRange(125, 235);
    const double pitch = 0.5 * *rc::gen::inRange(8, 40);
    const Radians turn(0.01 * *rc::gen::inRange(0, 628));
    DieShape shape;
    shape.cut.path = {{{{0, 0}}, {{length, 0}}, {{length, 50}}, {{0, 50}}}};
    shape.cut.edge = {0, 1, 2, 3};
    const double height = 1.0 * *rc::gen::inRange(10, 40);
    for (double x = 3.0; x < length - 2.0; x += pitch)
      shape.holes.push_back({{x, height}, 1.25, Operation::kHole});
    shape.cut.path = placed(shape.cut.path, turn, {});
    for (GradedHole& hole : shape.holes) hole.centre = placed(hole.centre, Placement{turn, {}});
    const BridgePlan plan = proposed_bridges(shape, measure_die(shape), {}, Millimetres(120.0));
    RC_ASSERT(plan.bridges.size() <= 1u);
    RC_ASSERT(plan.bridges.empty() == !plan.missing.empty());
    const double gap = pitch - 2.5;  // between the rims of two punches
    if (gap > 2.0 * 2.4 + 1.1) RC_ASSERT(plan.missing.empty());
    if (gap < 2.0 * 2.4 - 0.01) RC_ASSERT(plan.bridges.empty());
    for (const Bridge& bar : plan.bridges) {
      ++placed_all;
      for (const GradedHole& hole : shape.holes)
        RC_ASSERT(ArcSegment({bar.from, bar.to, 0.0}).distance_to(hole.centre) >= 1.25 + 2.4 - 1e-6);
      if (gap > 11.1)
        for (const GradedHole& hole : shape.holes)
          RC_ASSERT(ArcSegment({bar.from, bar.to, 0.0}).distance_to(hole.centre) >= 1.25 + 5.0 - 1e-6);
    }
    none += plan.bridges.empty() ? 1 : 0;
    if (!plan.missing.empty()) RC_ASSERT(plan.missing.find("1 of 1 bridge to stiffen it") == 0u);
  });
  CHECK(placed_all > 10);
  CHECK(none > 10);
}
