#include "grading/planning/schedule.hpp"

#include <catch2/catch.hpp>

namespace lastwright {

namespace {

// One pair takes a piece of 10 dm2; a sheet holds 4 of them and has 50 dm2. 3 pairs in period 2, 6 in
// period 5.
Result<Schedule> board_schedule(const std::string& unit) {
  WorksSpec works;
  MaterialSpec board;
  board.bought_as = BoughtAs::kSheets;
  works.materials["board"] = board;
  SupplySpec supply;
  supply.name = "board";
  supply.unit = unit;
  works.supplies = {supply};
  Order order;
  order.lines = {{"boot", "7", "F", 3, "", 2, 2}, {"boot", "7", "F", 6, "", 5, 3}};
  PieceNeed need;
  need.style = "boot";
  need.piece = "insole";
  need.size = "7";
  need.width = "F";
  need.material = "board";
  need.pairs = need.pieces = 9;
  need.scale = 10e4;
  need.material_area = 12.5e4;
  need.per_unit = 4.0;
  Needs needs;
  needs.pieces = {need};
  MaterialNeed whole;
  whole.name = "board";
  whole.bought_as = BoughtAs::kSheets;
  whole.units = 2.25;
  needs.materials = {whole};
  return schedule_of(order, needs, works);
}

double planned_together(const Schedule& schedule) {
  double sum = 0.0;
  for (const PlacedOrder& order : schedule.orders) sum += order.quantity;
  return sum;
}

}  // namespace

TEST_CASE("what is bought in sheets is planned in whole ones, or it is said that it is not", "[planning]") {
  const Result<Schedule> whole = board_schedule("sheets");
  REQUIRE(whole.ok());
  CHECK(whole->notes.empty());
  CHECK(planned_together(*whole) == 3.0);  // of 2.25
  for (const char* const unit : {"", "dm2", "sq ft"}) {
    INFO(unit);
    const Result<Schedule> parts = board_schedule(unit);
    REQUIRE(parts.ok());
    const std::string named = *unit == '\0' ? "dm2" : unit;
    for (const PlacedOrder& order : parts->orders) CHECK(order.unit == named);
    CHECK(parts->supplies.front().unit == named);
    CHECK(planned_together(*parts) == Approx(112.5 * (named == "dm2" ? 1.0 : 1e4 / 9.290304e4)));
    REQUIRE(parts->notes.size() == 1);
    CHECK(parts->notes.front() == "board: planned in " + named +
                                      " as its supply is counted, in parts of a sheet; give the supply the "
                                      "unit \"sheets\" to plan whole "
                                      "ones (the whole order takes 2.25 sheets)");
  }
}

}  // namespace lastwright
