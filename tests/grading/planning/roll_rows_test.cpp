#include "grading/planning/roll_rows.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "tests/support/laws.hpp"

namespace lastwright {

namespace {

// How many whole pieces lie in a stretch of the rows, counted one by one.
int whole_in(const StripRows& rows, double from, double to, bool second, bool all) {
  int count = 0;
  for (const StripRow& row : rows.rows) {
    if (!all && row.second != second) continue;
    for (int k = -20; k < 220; ++k) {
      const double x = row.x + k * rows.period;
      if (x - 0.5 * rows.length >= from - 1e-9 && x + 0.5 * rows.length <= to + 1e-9) ++count;
    }
  }
  return count;
}

}  // namespace

TEST_CASE("the stretch of a roll holds what is asked, whole, and no shorter one does", "[planning]") {
  test::holds_for_all("shortest stretch", [] {
    StripRows rows;
    rows.period = *rc::gen::inRange(20, 60);
    rows.length = *rc::gen::inRange(10, 90);
    rows.kind = *rc::gen::element(LatticeKind::kTranslated, LatticeKind::kMirrored);
    const int count = *rc::gen::inRange(2, 7);
    for (int r = 0; r < count; ++r)
      rows.rows.push_back({static_cast<double>(*rc::gen::inRange(-90, 90)), 10.0 * r, r % 2 == 1});
    const bool both = rows.kind == LatticeKind::kMirrored;
    const RollPieces pieces = both ? RollPieces{*rc::gen::inRange(1, 30), *rc::gen::inRange(1, 30), 0}
                                   : RollPieces{0, 0, *rc::gen::inRange(1, 60)};
    const double stretch = stretch_of(rows, pieces);
    const auto holds = [&](double length) {
      for (const StripRow& row : rows.rows) {
        for (int k = 0; k < 2; ++k) {
          const double from = row.x + k * rows.period - 0.5 * rows.length;
          const bool enough = both ? whole_in(rows, from, from + length, false, false) >= pieces.as_drawn &&
                                         whole_in(rows, from, from + length, true, false) >= pieces.mirrored
                                   : whole_in(rows, from, from + length, false, true) >= pieces.either;
          if (enough) return true;
        }
      }
      return false;
    };
    RC_ASSERT(holds(stretch));
    RC_ASSERT(!holds(stretch - 1e-3));
  });
}

// Four across, all in line: five pieces are two whole rows of them.
TEST_CASE("hands that no row mixes lie each in a stretch of its own", "[planning]") {
  StripRows rows;
  rows.period = 50.0;
  rows.length = 60.0;
  for (int r = 0; r < 4; ++r) rows.rows.push_back({50.0 * r, 10.0 * r, false});
  CHECK(stretch_of(rows, {0, 0, 4}) == Approx(60.0));
  CHECK(stretch_of(rows, {0, 0, 5}) == Approx(110.0));
  CHECK(stretch_of(rows, {4, 4, 0}) == Approx(120.0));
  CHECK(stretch_of(rows, {4, 5, 0}) == Approx(170.0));
  CHECK(stretch_of(rows, {}) == 0.0);
}

// Rows of 7 that lie far apart along, as those of long rolls do, rows by the boxes, and rows of both hands.
TEST_CASE("on a roll fewer pairs never take more, nor more together than parted, nor more than boxes",
          "[planning]") {
  int parted = 0;
  test::holds_for_all("stretches of a roll", [&] {
    RollRows rows;
    const auto some_rows = [](LatticeKind kind) {
      StripRows made;
      made.kind = kind;
      made.period = *rc::gen::inRange(20, 60);
      made.length = *rc::gen::inRange(20, 60);
      const int count = *rc::gen::inRange(2, 8);
      for (int r = 0; r < count; ++r)
        made.rows.push_back({static_cast<double>(*rc::gen::inRange(-90, 90)), 10.0 * r, false});
      if (kind == LatticeKind::kMirrored) {
        for (std::size_t r = 1; r < made.rows.size(); r += 2) made.rows[r].second = true;
      }
      return made;
    };
    const bool handed = *rc::gen::arbitrary<bool>();
    rows.densest = some_rows(LatticeKind::kTranslated);
    rows.others.push_back(some_rows(handed ? LatticeKind::kMirrored : LatticeKind::kHalfTurned));
    StripRows boxes;
    boxes.length = boxes.period = 61.0;
    boxes.boxes = true;
    for (int r = 0; r < 5; ++r) boxes.rows.push_back({0.0, 12.0 * r, false});
    rows.others.push_back(boxes);
    const RollPieces of_pair = handed ? RollPieces{*rc::gen::inRange(1, 3), 1, 0} : RollPieces{0, 0, 2};
    const auto length = [&](int pairs) { return laid_on_roll(rows, of_pair, pairs).length; };
    const int one = *rc::gen::inRange(1, 30);
    const int other = *rc::gen::inRange(1, 30);
    const RollLay both = laid_on_roll(rows, of_pair, one + other);
    RC_ASSERT(both.length <= length(one) + length(other) + 1e-6);
    RC_ASSERT(both.length >= length(one) - 1e-6);
    const int pieces = (of_pair.as_drawn + of_pair.mirrored + of_pair.either) * (one + other);
    RC_ASSERT(both.length <= std::ceil(pieces / 5.0) * 61.0 + 1e-6);
    // Every piece lies in a stretch that holds it.
    RollPieces laid;
    double sum = 0.0;
    for (const RollPart& part : both.parts) {
      laid.as_drawn += part.count * part.pieces.as_drawn;
      laid.mirrored += part.count * part.pieces.mirrored;
      laid.either += part.count * part.pieces.either;
      sum += part.count * part.length;
      const int in_part = part.pieces.as_drawn + part.pieces.mirrored + part.pieces.either;
      const RollPieces asked = part.rows.boxes ? RollPieces{0, 0, in_part} : part.pieces;
      RC_ASSERT(std::abs(part.length - stretch_of(part.rows, asked)) < 1e-9);
    }
    RC_ASSERT(laid == times(of_pair, one + other));
    RC_ASSERT(std::abs(sum - both.length) < 1e-6);
    if (both.parts.size() > 2) ++parted;
  });
  CHECK(parted > 5);
}

TEST_CASE("rows by the boxes hold either hand in any place", "[planning]") {
  StripRows boxes;
  boxes.length = boxes.period = 50.0;
  boxes.boxes = true;
  for (int r = 0; r < 4; ++r) boxes.rows.push_back({0.0, 10.0 * r, false});
  CHECK(laid_on_roll({boxes, {}}, {1, 1, 0}, 2).length == Approx(50.0));
  CHECK(laid_on_roll({boxes, {}}, {1, 1, 0}, 0).length == 0.0);
  // Of more pairs than all ways are tried of.
  CHECK(laid_on_roll({boxes, {}}, {1, 1, 0}, 1001).length == Approx(501 * 50.0));
}

}  // namespace lastwright
