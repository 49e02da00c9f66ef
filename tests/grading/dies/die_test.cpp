#include "grading/dies/die.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <set>

#include "grading/dies/die_checks.hpp"
#include "grading/dies/order/die_making.hpp"
#include "tests/support/blob.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using namespace lastwright::test;
using Catch::Detail::Approx;

namespace {

constexpr double kPi = std::numbers::pi;

// A box of 60 x 30 with round ends of radius 15, a slot of 20 x 4 with round ends, and two punched holes.
DieShape washer() {
  DieShape shape;
  shape.cut.path = {{{{-30, -15}}, {{30, -15}, 1.0}, {{30, 15}}, {{-30, 15}, 1.0}}};
  shape.cut.edge = {0, 1, 2, 3};
  shape.cut_outs.push_back({{{{-10, -2}}, {{10, -2}, 1.0}, {{10, 2}}, {{-10, 2}, 1.0}}});
  shape.holes = {
      {{30, 0}, 2.0, Operation::kHole}, {{30, 7}, 1.0, Operation::kHole}, {{-30, 0}, 0.0, Operation::kPrick}};
  return shape;
}

}  // namespace

TEST_CASE("a die of boxes and half circles has the figures of a geometry book", "[die]") {
  const DieFacts facts = measure_die(washer());
  CHECK(facts.rule_outer == Approx(120.0 + 30.0 * kPi));
  CHECK(facts.rule_inner == Approx(40.0 + 4.0 * kPi));
  CHECK(facts.area == Approx(60 * 30 + 225 * kPi - (20 * 4 + 4 * kPi) - 4 * kPi - kPi));
  CHECK(facts.box.width() == Approx(90.0));
  CHECK(facts.punches == 2);
  CHECK(facts.pricks == 1);
  CHECK(facts.corners.empty());
  CHECK(facts.breaks.empty());
  CHECK(facts.smallest_radius_outside->value == Approx(15.0));
  CHECK(facts.smallest_radius_inside->value == Approx(2.0));  // the slot's ends bulge into the material
  CHECK(facts.shortest_straight->value == Approx(20.0));
  CHECK(facts.hole_to_edge->value == Approx(7.0));  // hole at 7 of radius 1: 15 - 7 - 1
  CHECK(facts.hole_to_hole->value == Approx(4.0));
  CHECK(facts.smallest_hole->value == Approx(2.0));
  CHECK(facts.rule_gap->value == Approx(13.0));
  CHECK(facts.narrowest->value == Approx(4.0));  // across the slot
}

TEST_CASE("the other foot's die has the same figures and keeps each segment's edge", "[die]") {
  const DieShape shape = washer();
  const DieShape other = mirrored(shape);
  const DieFacts one = measure_die(shape);
  const DieFacts two = measure_die(other);
  CHECK(two.rule_outer == Approx(one.rule_outer));
  CHECK(two.area == Approx(one.area));
  CHECK(two.hole_to_edge->value == Approx(one.hole_to_edge->value));
  CHECK(signed_area(other.cut.path) > 0.0);
  for (std::size_t i = 0; i < other.cut.path.size(); ++i) {
    const Vec2 m = other.cut.path.segment(i).point_at(0.5);
    CHECK(shape.cut.path.segment(other.cut.edge[i]).distance_to({-m.x, m.y}) < 1e-9);
  }
}

TEST_CASE("corners carry the material's angle", "[die]") {
  DieShape shape;
  shape.cut.path = {{{{0, 0}}, {{40, 0}}, {{40, 30}}, {{20, 5}}, {{0, 30}}}};  // a deep notch from above
  shape.cut.edge.assign(5, 0);
  const DieFacts facts = measure_die(shape);
  REQUIRE(facts.corners.size() == 5);
  REQUIRE(facts.sharpest_inside);
  const double opening = 2.0 * std::atan2(20.0, 25.0) * 180.0 / kPi;
  CHECK(360.0 - to_degrees(facts.sharpest_inside->inside) == Approx(opening));
  const std::vector<DieFinding> findings = check_die(facts, {});
  CHECK(findings.empty());
  DieLimits strict;
  strict.inside_corner.value = 90.0;
  const std::vector<DieFinding> more = check_die(facts, strict);
  REQUIRE(more.size() == 1);
  CHECK(more[0].check == "corner into the piece");
  CHECK(more[0].value == Approx(360.0 - opening));  // inside the piece, as everywhere
  CHECK(more[0].limit.value == 270.0);
  CHECK(more[0].at == Vec2{20, 5});
}

TEST_CASE("of corners as sharp as each other one that points out of the piece is the sharpest", "[die]") {
  test::holds_for_all("a notch is the sharpest where it is sharper than every corner", [] {
    const double depth = 0.5 * *rc::gen::inRange(4, 56);
    const double half = 0.5 * *rc::gen::inRange(4, 36);
    const bool square = *rc::gen::inRange(0, 2) == 0;  // a step of two right angles, not a vee
    const Radians turn(0.01 * *rc::gen::inRange(0, 628));
    ClosedArcPath path{{{{0, 0}}, {{40, 0}}, {{40, 30}}, {{20 + half, 30}}}};
    if (square) {
      path.vertices.push_back({{20 + half, 30 - depth}});
      path.vertices.push_back({{20 - half, 30 - depth}});
    } else {
      path.vertices.push_back({{20, 30 - depth}});
    }
    path.vertices.push_back({{20 - half, 30}});
    path.vertices.push_back({{0, 30}});
    DieShape shape;
    shape.cut.path = placed(path, turn, {});
    shape.cut.edge.assign(shape.cut.path.size(), 0);
    const DieFacts facts = measure_die(shape);
    const double opening = square ? 90.0 : 2.0 * std::atan2(half, depth) * 180.0 / kPi;
    RC_PRE(std::abs(opening - 90.0) > 1.0 || square);
    RC_ASSERT(facts.sharpest.has_value());
    RC_ASSERT((to_degrees(facts.sharpest->inside) > 180.0) == (opening < 89.0));
  });
}

TEST_CASE("a kink of twelve degrees is no corner, one of thirty is", "[die]") {
  const auto corners = [](double degrees) {
    DieShape shape;
    const double rise = 30.0 * std::tan(0.5 * degrees * kPi / 180.0);
    shape.cut.path = {{{{0, 0}}, {{60, 0}}, {{60, 40}}, {{30, 40 + rise}}, {{0, 40}}}};
    shape.cut.edge.assign(5, 0);
    return measure_die(shape).corners.size();
  };
  CHECK(corners(12.0) == 4);
  CHECK(corners(30.0) == 5);
}

TEST_CASE("every narrow cut-out is told, and small closed shapes are special punches", "[die]") {
  // Three petals of 8 x 1.83 mm, drawn in one arc a side, in two and in five; a slot of 30 x 3; a window.
  DieShape shape;
  shape.cut.path = box_path(120, 90);
  shape.cut.edge.assign(4, 0);
  double x = -40.0;
  for (const int parts : {1, 2, 5}) {
    const double bulge = 1.83 / 8.0;
    ClosedArcPath petal;
    for (const double turn : {1.0, -1.0}) {
      const ArcSegment side{{x - 4.0 * turn, 20.0}, {x + 4.0 * turn, 20.0}, bulge};
      for (int k = 0; k < parts; ++k)
        petal.vertices.push_back(
            {side.point_at(static_cast<double>(k) / parts), std::tan(std::atan(bulge) / parts)});
    }
    shape.cut_outs.push_back(petal);
    x += 20.0;
  }
  shape.cut_outs.push_back({{{{-15, -2}}, {{15, -2}}, {{15, 1}}, {{-15, 1}}}});
  shape.cut_outs.push_back({{{{-30, -30}}, {{30, -30}}, {{30, -20}}, {{-30, -20}}}});
  const DieFacts facts = measure_die(shape);
  const std::vector<DieFinding> findings = check_die(facts, {});
  CHECK(std::count_if(findings.begin(), findings.end(), [](const DieFinding& f) {
          return f.check == "width of cut-out" && std::abs(f.value - 1.83) < 2e-3;
        }) == 3);
  CHECK(facts.cut_out_facts[3].width == Approx(3.0).margin(1e-3));
  CHECK(facts.cut_out_facts[3].length == Approx(30.0));
  std::vector<bool> special;
  for (const CutOutFacts& one : facts.cut_out_facts) special.push_back(is_special_punch(one, {}));
  CHECK(special == std::vector<bool>{true, true, true, false, false});
  // In the middle of a petal is its width: no neck.
  CHECK(
      std::none_of(findings.begin(), findings.end(), [](const DieFinding& f) { return f.check == "neck"; }));
}

TEST_CASE("a slot as wide as the limit is bent from rule, and twins are made alike", "[die][law]") {
  std::size_t punched = 0;
  std::size_t bent = 0;
  for (int k = 0; k <= 40;
       ++k) {  // through the limit of 2.4 mm, where arcs may lie 0.01 mm from their curves
    const double width = 2.38 + 0.001 * k;
    DieShape shape;
    shape.cut.path = box_path(120, 90);
    shape.cut.edge.assign(4, 0);
    double x = -50.0;
    for (const double own : {width, width + 0.0007, width - 0.0007}) {
      shape.cut_outs.push_back({{{{x, 0}}, {{x + 30, 0}}, {{x + 30, own}}, {{x, own}}}});
      x += 33.0;
    }
    const DieFacts facts = measure_die(shape);
    const bool special = is_special_punch(facts.cut_out_facts[0], {});
    for (const CutOutFacts& one : facts.cut_out_facts) CHECK(is_special_punch(one, {}) == special);
    const std::vector<DieFinding> findings = check_die(facts, {});
    CHECK(std::count_if(findings.begin(), findings.end(), [](const DieFinding& f) {
            return f.check == "width of cut-out";
          }) == (special ? 3 : 0));
    if (width >= 2.4) CHECK_FALSE(special);
    ++(special ? punched : bent);
  }
  CHECK((punched > 5 && bent > 20));
}

TEST_CASE("a special punch has no bends nor corners, what is bent from rule has", "[die]") {
  std::size_t corners = 0;
  const auto told = [&corners](double size) {
    // A slot with round ends and a waist between two square windows, all of this size.
    DieShape shape;
    shape.cut.path = box_path(300, 300);
    shape.cut.edge.assign(4, 0);
    shape.cut_outs.push_back({{{{0, 0}}, {{3 * size, 0}, 1}, {{3 * size, size}}, {{0, size}, 1}}});
    const double y = 5 * size;
    const double low = y + 0.4 * size;
    const double high = y + 0.6 * size;
    shape.cut_outs.push_back({{{{0, y}},
                               {{size, y}},
                               {{size, low}},
                               {{2 * size, low}},
                               {{2 * size, y}},
                               {{3 * size, y}},
                               {{3 * size, y + size}},
                               {{2 * size, y + size}},
                               {{2 * size, high}},
                               {{size, high}},
                               {{size, y + size}},
                               {{0, y + size}}}});
    DieLimits limits;
    limits.bend_radius.value = 0.6 * size;
    limits.shortest_straight.value = 1.1 * size;
    limits.slot.value = 0.3 * size;
    limits.rule_gap.value = 0.0;
    limits.special_punch.value = 40.0;
    corners = without_special_punches(measure_die(shape), limits).corners.size();
    std::set<std::string> names;
    for (const DieFinding& finding : check_die(measure_die(shape), limits)) names.insert(finding.check);
    return names;
  };
  CHECK(told(2.0).empty());
  CHECK(corners == 4);  // of the outline alone
  CHECK(told(20.0) == std::set<std::string>{"bend radius inside", "neck", "shortest straight"});
  CHECK(corners == 16);  // and of the waisted window
}

TEST_CASE("kinks, tight bends, close rules and small punches are found at their limits", "[die]") {
  DieShape shape = washer();
  shape.cut_outs.push_back({{{{-10, 4}}, {{10, 4}}, {{10, 8}}, {{-10, 8}}}});  // 2 mm from the slot
  shape.holes.push_back({{-30, 8}, 0.6, Operation::kHole});
  shape.cut.path.vertices.insert(shape.cut.path.vertices.begin() + 1,
                                 ArcVertex{{0, -16}, 0.0});  // two kinks of 1.9, one of 3.8
  shape.cut.edge.push_back(0);
  const std::vector<DieFinding> findings = check_die(measure_die(shape), {});
  const auto count = [&](const char* check) {
    return std::count_if(findings.begin(), findings.end(),
                         [&](const DieFinding& f) { return f.check == check; });
  };
  CHECK(count("gap between rules") == 1);
  CHECK(count("punch diameter") == 1);
  CHECK(count("tangent break") == 1);
  CHECK(count("bend radius inside") == 0);
  for (const DieFinding& finding : findings) {
    if (finding.check == "gap between rules") {
      CHECK(finding.value == Approx(2.0));
      CHECK(finding.limit.provenance == Provenance::kCommonPractice);
    }
  }
}

TEST_CASE("a straight that runs on smoothly into a gentle arc is no short straight", "[die]") {
  // A quarter circle of radius 60 with a stub of 0.1 mm beyond
  // its end, and a real straight of 0.4 mm between two corners.
  DieShape shape;
  const double quarter = std::tan(kPi / 8.0);
  shape.cut.path = {{{{0, 0}}, {{60, 0}, quarter}, {{0, 60}}, {{-0.1, 60}}, {{-0.1, 59.6}}}};
  shape.cut.path.vertices[0].at = {-20, 0};
  shape.cut.path.vertices.insert(shape.cut.path.vertices.begin() + 1, ArcVertex{{0, 0}, 0.0});
  shape.cut.path.vertices[2] = {{60, 0}, quarter};  // centre at the origin
  shape.cut.edge.assign(shape.cut.path.size(), 0);
  const DieFacts facts = measure_die(shape);
  REQUIRE(facts.shortest_straight);
  CHECK(facts.shortest_straight->value == Approx(0.4));
}

TEST_CASE("the smallest box of a turned box is the box, the longer side first", "[die]") {
  const ClosedArcPath path = placed(box_path(25, 40), Radians(0.7), {12, -5});
  const Box2 box = bounds(placed(path, smallest_box_turn(path), {}));
  CHECK(box.width() == Approx(40.0));
  CHECK(box.height() == Approx(25.0));
  // A box with round ends: no box along another side is smaller.
  const ClosedArcPath washer_path = placed(washer().cut.path, Radians(-0.4), {});
  const Box2 round = bounds(placed(washer_path, smallest_box_turn(washer_path), {}));
  CHECK(round.width() == Approx(90.0).margin(0.02));
  CHECK(round.height() == Approx(30.0).margin(0.02));
}

TEST_CASE("size marks are counted with the nicks they are drawn as", "[die]") {
  DieShape shape = washer();
  shape.marks.push_back({{{{{0, -15}}, {{0, -13}}}}, Operation::kNick});
  shape.size_marks.push_back({{{{{5, -15}}, {{5, -13}}}}, Operation::kNick, {true, false}});
  CHECK(measure_die(shape).nicks == 2);
  CHECK(with_size_marks(shape).marks.size() == 2);
}

TEST_CASE("the joint lies in the middle of a straight, wherever the outline begins and however it is split",
          "[die]") {
  // Straight below, smooth into half circles of 60 mm on either side, a corner above: the farthest from all
  // corners along the rule is anywhere but in the straight's middle.
  for (const double length : {16.0, 40.0, 70.0}) {
    for (const double corner : {0.1, 0.5, 0.9}) {
      for (const bool split : {false, true}) {
        std::vector<ArcVertex> base{{{0, 0}}};
        if (split) base.push_back({{0.3 * length, 0}});
        base.push_back({{length, 0}, 1.0});
        base.push_back({{length, 120}, 0.02});
        base.push_back({{corner * length, 125}, 0.02});
        base.push_back({{0, 120}, 1.0});
        for (std::size_t first = 0; first < base.size(); ++first) {
          DieShape shape;
          shape.cut.path.vertices = base;
          std::rotate(shape.cut.path.vertices.begin(),
                      shape.cut.path.vertices.begin() + static_cast<std::ptrdiff_t>(first),
                      shape.cut.path.vertices.end());
          shape.cut.edge.assign(base.size(), 0);
          const auto joint = proposed_joint(shape);
          REQUIRE(joint);
          CHECK(joint->straight);
          CHECK(joint->at.y == Approx(0.0).margin(1e-9));
          CHECK(std::abs(joint->at.x - 0.5 * length) <= 0.5);
          CHECK(joint->clear > 40.0);  // told to what is in the way, not to the straight's ends
          // A nick in the middle is kept away from: half way to an end, or on another straight.
          if (length < 60.0) continue;
          shape.marks.push_back({{{{{0.5 * length, 0}}, {{0.5 * length, 4}}}}, Operation::kNick});
          const auto beside = proposed_joint(shape);
          REQUIRE(beside);
          CHECK(beside->straight);
          CHECK(beside->clear >= 0.25 * length - 0.5);
        }
      }
    }
  }
}
