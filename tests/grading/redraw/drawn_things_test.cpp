// What is drawn in pieces is told where the sheet has it, and rows are followed as a whole.
#include "grading/redraw/drawn_things.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numeric>

#include "grading/pieces/place/piece_lie.hpp"
#include "grading/redraw/place_pairs.hpp"
#include "tests/support/laws.hpp"

namespace lastwright {

namespace {

BoundPiece laid_piece_with(const std::vector<Vec2>& holes, const PieceLie& lie, Vec2 text) {
  BoundPiece piece;
  piece.spec.name = "gusset";
  piece.lie = lie;
  const PlaneAffine motion = motion_of(lie);
  for (const Vec2 hole : holes) piece.holes.push_back({motion.point(hole), 1.25, Operation::kHole, {}});
  piece.texts.push_back({motion.point(text), 3.0, Radians(0.0), "GUSSET", {}});
  piece.nicks.push_back({motion.point({604.9, 371.0}), 0, 0, 0.0, {}, 3.0});
  return piece;
}

double total(const std::vector<Vec2>& was, const std::vector<Vec2>& now,
             const std::vector<std::optional<std::size_t>>& pairs, double reach) {
  double sum = 0.0;
  std::size_t alone = std::max(was.size(), now.size());
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    if (!pairs[i]) continue;
    sum += distance(was[i], now[*pairs[i]]);
    --alone;
  }
  return sum + reach * static_cast<double>(alone);
}

}  // namespace

TEST_CASE("what is drawn in a laid piece is told where its sheet has it", "[redraw]") {
  PieceLie before{0.0, true, {40.0, -12.0}, 0.0, 3};
  PieceLie after{37.0, false, {-300.0, 80.0}, 0.0, 3};  // what it is laid by was drawn anew
  std::vector<std::string> told;
  tell_drawn_things(laid_piece_with({{610, 350}}, before, {590, 340}),
                    laid_piece_with({{610, 350}}, before, {590, 340}), 12.0, told);
  CHECK(told.empty());
  tell_drawn_things(laid_piece_with({{610, 350}}, before, {590, 340}),
                    laid_piece_with({{612, 350}}, before, {590, 340}), 12.0, told);
  CHECK(told ==
        std::vector<std::string>{
            "gusset: the hole of 2.50 mm that was drawn at (610.000, 350.000) is at (612.000, 350.000) "
            "now, 2.000 mm"});
  // Laid otherwise, it is drawn as it was: nothing of it has moved.
  told.clear();
  before.mirrored = false;
  BoundPiece was = laid_piece_with({{610, 350}}, before, {590, 340});
  BoundPiece now = laid_piece_with({{610, 350}}, after, {590, 340});
  now.texts.front().angle = from_degrees(after.turn);
  tell_drawn_things(was, now, 12.0, told);
  CHECK(told.empty());
}

TEST_CASE("a row that moves together is followed together", "[redraw][law]") {
  // Five holes of a strap drawn 10.16 mm longer, 8.89 mm apart.
  std::vector<Vec2> row;
  std::vector<Vec2> moved;
  for (int i = 0; i < 5; ++i) {
    row.push_back({165.1 - 8.89 * i, 127.0});
    moved.push_back(row.back() + Vec2{10.16, 0.0});
  }
  std::vector<std::string> told;
  tell_drawn_things(laid_piece_with(row, {}, {100, 120}), laid_piece_with(moved, {}, {100, 120}), 12.0, told);
  REQUIRE(told.size() == 5);
  for (const std::string& one : told) CHECK(one.find("now, 10.160 mm") != std::string::npos);

  int together = 0;
  test::holds_for_all("all by one shift, or by the least motion in all", [&] {
    const auto place = [] {
      return Vec2{*rc::gen::inRange(0, 400) / 10.0, *rc::gen::inRange(0, 400) / 10.0};
    };
    std::vector<Vec2> was;
    const int count = *rc::gen::inRange(2, 6);
    for (int i = 0; i < count; ++i) was.push_back(place());
    std::vector<Vec2> now;
    const bool as_one = *rc::gen::arbitrary<bool>();
    const Vec2 shift{*rc::gen::inRange(-70, 71) / 10.0, *rc::gen::inRange(-70, 71) / 10.0};
    for (const Vec2 p : was) now.push_back(as_one ? p + shift : place());
    if (*rc::gen::arbitrary<bool>()) now.pop_back();
    constexpr double kReach = 12.0;
    const auto pairs = pair_places(was, now, kReach, 0.05);
    std::vector<bool> taken(now.size(), false);
    for (std::size_t i = 0; i < pairs.size(); ++i) {
      if (!pairs[i]) continue;
      RC_ASSERT(!taken[*pairs[i]]);
      taken[*pairs[i]] = true;
      RC_ASSERT(distance(was[i], now[*pairs[i]]) <= kReach);
    }
    if (as_one && now.size() >= 2) {
      ++together;
      // By one shift, and none that is longer than this one.
      RC_ASSERT(static_cast<std::size_t>(std::count_if(pairs.begin(), pairs.end(), [](const auto& one) {
                  return one.has_value();
                })) == now.size());
      for (std::size_t i = 0; i < pairs.size(); ++i) {
        if (pairs[i]) RC_ASSERT(distance(was[i], now[*pairs[i]]) <= norm(shift) + 0.1);
      }
      return;
    }
    std::vector<std::size_t> order(std::max(was.size(), now.size()));
    std::iota(order.begin(), order.end(), 0);
    const double found = total(was, now, pairs, kReach);
    do {
      std::vector<std::optional<std::size_t>> other(was.size());
      for (std::size_t i = 0; i < was.size(); ++i) {
        if (order[i] < now.size() && distance(was[i], now[order[i]]) <= kReach) other[i] = order[i];
      }
      RC_ASSERT(found <= total(was, now, other, kReach) + 1e-9);
    } while (std::next_permutation(order.begin(), order.end()));
  });
  CHECK(together > 20);
}

}  // namespace lastwright
