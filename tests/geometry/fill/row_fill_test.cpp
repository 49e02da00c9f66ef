#include "geometry/fill/row_fill.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/box2.hpp"

namespace lastwright {

// Right triangles that pair up to boxes of 60 x 40, and boxes of 50 x 30, on a sheet of 400 x 300 with a
// hole.
TEST_CASE("rows of like shapes lie in the region, apart, each with its own step", "[lattice]") {
  const Result<FillRegion> region = fill_region({{0, 0}, {400, 0}, {400, 300}, {200, 260}, {0, 300}});
  REQUIRE(region.ok());
  const std::vector<Polygon> hole{{{150, 100}, {220, 100}, {220, 160}, {150, 160}}};
  RowSource triangle{{{{-30, -20}, {30, -20}, {-30, 20}}}, {Radians(0.0), Radians(std::numbers::pi)}, {}, 21};
  RowSource box{{{{-25, -15}, {25, -15}, {25, 15}, {-25, 15}}}, {Radians(0.0)}, {}, 14};
  for (RowSource* kind : {&triangle, &box}) kind->chain = row_chain(kind->parts, kind->turns.size() == 2);
  REQUIRE(triangle.chain.link.size() == 2);
  // A chain of them takes what two triangles have, as closely as that can be.
  CHECK(norm(triangle.chain.step) * 40.0 == Approx(2400.0).epsilon(1e-3));
  REQUIRE(box.chain.link.size() == 1);
  const std::vector<RowSource> kinds{triangle, box};
  const std::vector<RowPlace> rows = lay_rows(*region, hole, kinds, 3);
  CHECK(rows.size() >= 24);
  std::vector<std::vector<RowPlace>> by_row;
  std::vector<std::size_t> count(kinds.size());
  std::vector<std::vector<Polygon>> laid;
  for (const RowPlace& one : rows) {
    ++count[one.kind];
    by_row.resize(std::max(by_row.size(), one.row + 1));
    by_row[one.row].push_back(one);
    laid.push_back(moved_parts(turned(kinds[one.kind].parts, one.turn).parts, one.at));
    CHECK(shared_area(laid.back(), hole) < 1e-6);
    CHECK(shared_area(laid.back(), region->pockets) < 1e-6);
    for (const Polygon& part : laid.back())
      CHECK(std::abs(signed_area(part) - signed_area(clipped(part, region->hull))) < 1e-6);
    for (std::size_t k = 0; k + 1 < laid.size(); ++k) CHECK(shared_area(laid[k], laid.back()) < 1e-6);
  }
  for (std::size_t k = 0; k < kinds.size(); ++k) CHECK(count[k] <= kinds[k].count);
  for (const std::vector<RowPlace>& row : by_row) {
    CHECK(row.size() >= 3);
    const std::size_t link = kinds[row.front().kind].chain.link.size();
    for (std::size_t k = 2 * link; k < row.size(); ++k) {
      CHECK(row[k].kind == row.front().kind);
      CHECK(distance(row[k].at - row[k - link].at, row[k - link].at - row[k - 2 * link].at) < 1e-6);
    }
  }
}

}  // namespace lastwright
