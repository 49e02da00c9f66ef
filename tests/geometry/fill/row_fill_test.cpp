#include "geometry/fill/row_fill.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <map>
#include <numbers>
#include <set>

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
  triangle.kept_out = box.kept_out = hole;
  for (RowSource* kind : {&triangle, &box}) kind->chains = row_chains(kind->parts, kind->turns.size() == 2);
  REQUIRE(triangle.chains.size() == 2);
  REQUIRE(triangle.chains[0].link.size() == 2);
  // A chain of them takes what two triangles have, as closely as that can be.
  const Vec2 step = triangle.chains[0].step;
  CHECK(norm(step) * (step.x == 0.0 ? 60.0 : 40.0) == Approx(2400.0).epsilon(1e-3));
  REQUIRE(box.chains.size() == 2);
  CHECK(std::abs(dot(box.chains[0].step, box.chains[1].step)) < 1e-6);
  const std::vector<RowSource> kinds{triangle, box};
  const std::vector<RowPlace> rows = lay_rows({*region}, kinds, 3, RowOrder::kCloserChain);
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
    const std::size_t link = kinds[row.front().kind].chains[0].link.size();
    for (std::size_t k = 2 * link; k < row.size(); ++k) {
      CHECK(row[k].kind == row.front().kind);
      CHECK(distance(row[k].at - row[k - link].at, row[k - link].at - row[k - 2 * link].at) < 1e-6);
    }
  }
}

// Boxes from either of two zones of a sheet of 400 x 300, level in its left half and upright in its right
// one.
TEST_CASE("a row lies in one of its regions and each of its shapes where it is allowed", "[lattice]") {
  const std::vector<Polygon> zones{{{0, 0}, {400, 0}, {400, 300}, {0, 300}},
                                   {{20, 20}, {225, 20}, {225, 106}, {20, 106}},
                                   {{170, 130}, {390, 130}, {390, 200}, {170, 200}}};
  std::vector<FillRegion> regions;
  for (const Polygon& zone : zones) {
    const Result<FillRegion> region = fill_region(zone);
    REQUIRE(region.ok());
    regions.push_back(*region);
  }
  RowSource box{{{{-25, -15}, {25, -15}, {25, 15}, {-25, 15}}},
                {Radians(0.0), Radians(0.5 * std::numbers::pi)},
                {},
                40};
  box.chains = row_chains(box.parts, false);
  box.regions = {1, 2};
  box.kept_out = {{{20, 20}, {40, 20}, {40, 40}, {20, 40}}};
  const auto turn_at = [](Vec2 at) { return at.x < 190.0 ? 0U : 1U; };
  box.allowed = [&](std::size_t turn, Vec2 at) { return turn == turn_at(at); };
  std::map<std::size_t, std::vector<Vec2>> rows;
  std::size_t in_zone[3] = {};
  for (const RowPlace& one : lay_rows(regions, {box}, 3, RowOrder::kLongestFirst)) {
    CHECK(one.turn.value() == box.turns[turn_at(one.at)].value());
    const std::vector<Polygon> parts = moved_parts(turned(box.parts, one.turn).parts, one.at);
    CHECK(shared_area(parts, box.kept_out) < 1e-6);
    const auto inside = [&](std::size_t zone) {
      return signed_area(clipped(parts.front(), regions[zone].hull)) == Approx(1500.0);
    };
    const bool first = inside(1);
    CHECK((first || inside(2)));
    ++in_zone[first ? 1 : 2];
    rows[one.row].push_back(one.at);
  }
  // Level or upright, one behind the other along the row or side by side.
  for (const auto& [row, at] : rows) {
    CHECK(at.size() >= 3);
    CHECK((at.front().x < 190.0) == (at.back().x < 190.0));
  }
  // Two level rows of three, though four are no longer than the zone; of upright ones a row of six or seven.
  CHECK(in_zone[1] == 6);
  CHECK(in_zone[2] >= 6);
}

}  // namespace lastwright
