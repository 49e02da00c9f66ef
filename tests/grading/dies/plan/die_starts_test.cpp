#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "grading/dies/plan/die_plan.hpp"
#include "grading/dies/plan/die_starts.hpp"
#include "tests/support/blob_style.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

// An outline that is (nearly) its own image after each `fold`-th of a turn, round for a fold of 0, and work
// in it that is not.
struct Turnable {
  int fold = 2;
  double near = 0.0;  // mm by which its image differs
  Vec2 hole{9.0, 2.0};
  bool nick = false;
  bool cut_out = false;

  [[nodiscard]] DieShape at(const SizeWidth& of) const {
    const double scale = 1.0 + 0.03 * (of.size.position.value() - 8.0) + 0.01 * of.width.position.value();
    constexpr int kPoints = 36;
    DieShape shape;
    for (int i = 0; i < kPoints; ++i) {
      const double angle = 2.0 * std::numbers::pi * i / kPoints;
      const double wave = fold == 0 ? 0.0 : 0.25 * std::cos(fold * angle);
      const double radius = 22.0 * scale * (1.0 + wave) + near * std::cos(angle + 1.0);
      shape.cut.path.vertices.push_back({turned({radius, 0.0}, angle), 0.0});
      shape.cut.edge.push_back(static_cast<std::uint16_t>(i * 3 / kPoints));
    }
    shape.holes.push_back({scale * hole, 1.5, Operation::kHole});
    if (nick) {
      const Vec2 mouth = shape.cut.path.vertices[5].at;
      shape.marks.push_back({{{{mouth}, {0.9 * mouth}}}, Operation::kNick});
    }
    if (cut_out) {
      ClosedArcPath square;
      for (const Vec2 corner : {Vec2{-6, 3}, Vec2{-2, 3}, Vec2{-2, 7}, Vec2{-6, 7}})
        square.vertices.push_back({scale * corner, 0.0});
      shape.cut_outs.push_back(square);
    }
    return shape;
  }
};

DiePlan plan_with(const Turnable& piece, const BlobStyle& blobs, const DieRules& rules,
                  std::vector<OwnedDie> owned) {
  DiePlanInput input = input_of(blobs, rules, run_of(3, 2));
  const std::vector<SizeWidth> places = input.places.places;
  input.outline = [&piece, places](std::size_t, std::size_t place) -> Result<DieOutline> {
    const DieShape shape = piece.at(places[place]);
    return DieOutline{shape, edge_lengths(shape.cut, 3)};
  };
  input.owned = std::move(owned);
  return *plan_dies(input);
}

// A drawing by itself: nobody says which foot it is for.
OwnedDie from_elsewhere(const DieShape& shape) {
  OwnedDie die{"1", "", shape};
  die.foot = OwnedFoot::kUnknown;
  return die;
}

}  // namespace

TEST_CASE("where a die lies in its drawing does not change what is said of it", "[die_starts]") {
  BlobStyle blobs;
  blobs.add("tab", 3, 18.0);
  DieRules rules;
  rules.curve.clear();
  rules.tolerance = 0.3;
  rules.between = false;
  std::size_t asked = 0;
  std::size_t used = 0;
  std::size_t turns = 0;
  test::holds_for_all(
      "a die turned and moved serves what it served",
      [&] {
        Turnable piece;
        piece.fold = *rc::gen::element(2, 3, 4, 0);
        piece.near = *rc::gen::element(0.0, 0.0, 0.02, 0.15);
        piece.hole = turned({9.0, 0.0}, 0.01 * *rc::gen::inRange(0, 628));
        piece.nick = *rc::gen::arbitrary<bool>();
        piece.cut_out = *rc::gen::arbitrary<bool>();
        const DiePlaces places = die_places(run_of(3, 2), rules.between);
        DieShape shape = piece.at(places.demands[static_cast<std::size_t>(*rc::gen::inRange(0, 6))]);
        std::fill(shape.cut.edge.begin(), shape.cut.edge.end(), std::uint16_t{0});
        if (*rc::gen::arbitrary<bool>()) shape = mirrored(shape);
        const DiePlan still = plan_with(piece, blobs, rules, {from_elsewhere(shape)});
        used += still.unused.empty() ? 1 : 0;
        const Radians turn(*rc::gen::element(0.5 * std::numbers::pi, std::numbers::pi,
                                             2.0 * std::numbers::pi / 3.0,
                                             1e-3 * *rc::gen::inRange(0, 6283)));
        const Vec2 shift{1.0 * *rc::gen::inRange(-300, 300), 1.0 * *rc::gen::inRange(-300, 300)};
        const DiePlan moved =
            plan_with(piece, blobs, rules, {from_elsewhere(placed(shape, Placement{turn, shift}))});
        ++asked;
        turns += piece.fold != 0 ? starting_turns(shape, piece.at(places.demands[2]), 0.3).size() : 0;
        RC_ASSERT(moved.unused.size() == still.unused.size());
        RC_ASSERT(moved.dies_to_make == still.dies_to_make);
        RC_ASSERT(moved.dies.size() == still.dies.size());
        for (std::size_t k = 0; k < still.dies.size(); ++k) {
          RC_ASSERT(moved.dies[k].serves == still.dies[k].serves);
          RC_ASSERT(moved.dies[k].make_drawn == still.dies[k].make_drawn);
          RC_ASSERT(moved.dies[k].make_mirrored == still.dies[k].make_mirrored);
        }
      },
      14);
  CHECK(used > asked / 4);
  CHECK(turns > 2 * asked);  // most of them lie on their outline in several ways
}
