#include "grading/planning/schedule.hpp"

#include <catch2/catch.hpp>
#include <cmath>

namespace lastwright {

namespace {

// One pair takes a piece of 10 dm2; a sheet holds 4 of them and has 50 dm2. 3 pairs in period 2, 6 in
// period 5.
Result<Schedule> board_schedule(const std::string& unit, double multiple = 0.0, std::optional<int> lead = 0) {
  WorksSpec works;
  MaterialSpec board;
  board.bought_as = BoughtAs::kSheets;
  board.length = 1000.0;
  board.width = 500.0;
  works.materials["board"] = board;
  SupplySpec supply;
  supply.name = "board";
  supply.unit = unit;
  supply.multiple = multiple;
  supply.lead = lead;
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

// 37.5 dm2 in period 2 and 75 in period 5 are one sheet and two more: what is left of the first is no half.
TEST_CASE("what is bought in sheets is planned in whole ones, or it is said that it is not", "[planning]") {
  const Result<Schedule> whole = board_schedule("sheets");
  REQUIRE(whole.ok());
  CHECK(whole->notes.empty());
  CHECK(planned_together(*whole) == 3.0);  // of 2.25
  const Result<Schedule> without_lead = board_schedule("sheets", 0.0, {});
  REQUIRE(without_lead.ok());
  CHECK(without_lead->notes ==
        std::vector<std::string>{"no lead time is stated: 0 periods are taken for board"});
  for (const char* const unit : {"", "dm2", "sq ft"}) {
    INFO(unit);
    const std::string named = *unit == '\0' ? "dm2" : unit;
    const double sheet = named == "dm2" ? 50.0 : 50e4 / 9.290304e4;
    const std::string of_sheet = named == "dm2" ? "50.00 dm2" : "5.38 sq ft";
    const Result<Schedule> areas = board_schedule(unit);
    REQUIRE(areas.ok());
    for (const PlacedOrder& order : areas->orders) {
      CHECK(order.unit == named);
      CHECK(std::abs(order.quantity / sheet - std::round(order.quantity / sheet)) < 1e-9);
    }
    CHECK(planned_together(*areas) == Approx(3.0 * sheet));
    CHECK(areas->notes ==
          std::vector<std::string>{"board: counted in " + named + ", ordered in whole sheets of " + of_sheet +
                                   " (the whole order takes 2.25 sheets)"});
    // Two sheets at a time are whole; a third of one is not, and stays as the user states it.
    const Result<Schedule> by_two = board_schedule(unit, 2.0 * sheet);
    REQUIRE(by_two.ok());
    CHECK(planned_together(*by_two) == Approx(4.0 * sheet));
    CHECK(by_two->notes.empty());
    const Result<Schedule> parts = board_schedule(unit, sheet / 4.0);
    REQUIRE(parts.ok());
    CHECK(planned_together(*parts) == Approx(2.25 * sheet));
    REQUIRE(parts->notes.size() == 1);
    CHECK(parts->notes.front().starts_with("board: ordered in parts of a sheet"));
  }
}

// Rows of three across, 100 mm from piece to piece, each 120 mm long: 4 pieces are two rows of them, 220 mm,
// and so in each period by itself; in proportion 8 of them would be 267 mm.
// Both orders should have been placed before now: it is one supply that is late.
TEST_CASE("a supply that is late in two periods is one late supply", "[planning]") {
  const Result<Schedule> late = board_schedule("sheets", 0.0, 7);
  REQUIRE(late.ok());
  REQUIRE(late->orders.size() == 2);
  CHECK((late->orders[0].late() && late->orders[1].late()));
  CHECK(supplies_late(*late) == 1);
  CHECK(supplies_late(*board_schedule("sheets")) == 0);
}

TEST_CASE("of a roll whole rows are ordered, period by period", "[planning]") {
  WorksSpec works;
  MaterialSpec suede;
  suede.bought_as = BoughtAs::kRoll;
  suede.width = 1400.0;
  suede.measured_to_invoiced = 0.8;
  works.materials["suede"] = suede;
  PieceNeed need;
  need.style = "boot";
  need.piece = "lining";
  need.size = "7";
  need.width = "F";
  need.material = "suede";
  need.pairs = 4;
  need.pieces = 8;
  need.of_pair = {0, 0, 2};
  need.per_unit = 30.0;
  need.material_area = 4.67e4;
  need.rows = StripRows{0.0, LatticeKind::kTranslated, 100.0, {{0.0, 0.0}, {0.0, 50.0}, {0.0, 100.0}}, 120.0};
  Needs needs;
  needs.pieces = {need};
  MaterialNeed whole;
  whole.name = "suede";
  whole.bought_as = BoughtAs::kRoll;
  needs.materials = {whole};
  Order order;
  order.lines = {
      {"boot", "7", "F", 1, "C1", 2, 2}, {"boot", "7", "F", 1, "C2", 2, 3}, {"boot", "7", "F", 2, "", 5, 4}};
  for (const char* const unit : {"m", "dm2"}) {
    INFO(unit);
    SupplySpec supply;
    supply.name = "suede";
    supply.unit = unit;
    supply.lead = 0;
    works.supplies = {supply};
    const Result<Schedule> schedule = schedule_of(order, needs, works);
    REQUIRE(schedule.ok());
    REQUIRE(schedule->orders.size() == 2);
    for (const PlacedOrder& one : schedule->orders)
      CHECK(one.quantity == Approx(0.22 / 0.8 * (one.unit == "m" ? 1.0 : 140.0)));
    REQUIRE(schedule->notes.size() == 1);
    CHECK(schedule->notes.front().starts_with("suede: of its roll whole rows are ordered"));
  }
}

TEST_CASE("a receipt that is stated twice counts twice and is told", "[planning]") {
  WorksSpec works;
  SupplySpec supply;
  supply.name = "laces";
  supply.lead = 0;
  supply.receipts = {{2, 5.0}, {3, 5.0}, {2, 5.0}, {2, 5.0}};
  supply.needed = {{4, 20.0}, {3, 1.0}};
  works.supplies = {supply};
  const Result<Schedule> schedule = schedule_of({}, {}, works);
  REQUIRE(schedule.ok());
  CHECK(schedule->notes ==
        std::vector<std::string>{"laces: a receipt of 5 in period 2 is stated more than once: each counts"});
  REQUIRE(schedule->orders.size() == 1);
  CHECK(schedule->orders.front().quantity == 1.0);  // 21 are needed, 20 are on their way
}

TEST_CASE("a holiday before the calendar begins is told", "[planning]") {
  WorksSpec works;
  works.calendar = WorksCalendar{"1970-01-11", 7, 0, {}, {4, 9, 10, 20}};
  const Result<Schedule> schedule = schedule_of({}, {}, works);
  REQUIRE(schedule.ok());
  CHECK(schedule->notes ==
        std::vector<std::string>{"2 holidays lie before the calendar begins on 1970-01-11 (1970-01-05, "
                                 "1970-01-10): of no use for what is "
                                 "to come"});
}

}  // namespace lastwright
