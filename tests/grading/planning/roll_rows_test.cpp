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

}  // namespace lastwright
