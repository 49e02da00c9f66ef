#include "grading/planning/schedule.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "grading/planning/supply_units.hpp"

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

TEST_CASE("a multiple that parts a sheet is told, and one that parts a piece refused", "[planning]") {
  const Result<Schedule> half = board_schedule("sheets", 0.5);
  REQUIRE(half.ok());
  CHECK(planned_together(*half) == 2.5);  // 1 in period 2, of 0.75; 1.5 in period 5, of the 1.25 left
  CHECK(half->notes ==
        std::vector<std::string>{"board: ordered in parts of a sheet, because its multiple of 0.5 sheets is "
                                 "no whole number (the whole order takes 2.25 sheets)"});
  const Result<Schedule> two = board_schedule("sheets", 2.0);
  REQUIRE(two.ok());
  CHECK(two->notes.empty());
  SupplySpec pieces;
  pieces.unit = "pieces";
  pieces.multiple = 2.5;
  REQUIRE_FALSE(multiple_fits(pieces, nullptr).ok());
  CHECK(multiple_fits(pieces, nullptr).problem().message.find("2.5 pieces") != std::string::npos);
  pieces.unit = "";
  CHECK(multiple_fits(pieces, nullptr).ok());
  MaterialSpec ready_cut;
  ready_cut.bought_as = BoughtAs::kPieces;
  CHECK_FALSE(multiple_fits(pieces, &ready_cut).ok());
  CHECK(planned_together(*board_schedule("pieces", 4.0)) == 12.0);
}

TEST_CASE("without an order too what is bought whole is planned whole", "[planning]") {
  WorksSpec works;
  works.materials["kip"].hide = HideSpec{140e4, 5200.0, 0, "", 0.0};
  works.materials["heel"].bought_as = BoughtAs::kPieces;
  for (const auto& [name, unit] : {std::pair("kip", "hides"), std::pair("heel", "")}) {
    SupplySpec supply;
    supply.name = name;
    supply.unit = unit;
    supply.lead = 0;
    supply.needed = {{2, 2.25}};
    works.supplies.push_back(supply);
  }
  const Result<Schedule> schedule = schedule_of({}, {}, works);
  REQUIRE(schedule.ok());
  REQUIRE(schedule->orders.size() == 2);
  for (const PlacedOrder& one : schedule->orders) CHECK(one.quantity == 3.0);
  CHECK(schedule->orders[1].unit == "pieces");
}

// Whatever a material is bought as and whatever its supply is counted in: what is refused is not offered, and
// what is offered is taken.
TEST_CASE("a unit that is refused is not among those offered, and those offered are taken", "[planning]") {
  enum class Stated { kNot, kHide, kNoHide, kRoll, kSheets, kPieces };
  int refused = 0;
  for (const Stated stated :
       {Stated::kNot, Stated::kHide, Stated::kNoHide, Stated::kRoll, Stated::kSheets, Stated::kPieces}) {
    const auto scheduled = [&](const std::string& unit) -> Status {
      WorksSpec works;
      PieceNeed need;
      need.style = "boot";
      need.piece = "vamp";
      need.size = "7";
      need.width = "F";
      need.material = "kip";
      need.pairs = need.pieces = 4;
      need.scale = 10e4;
      if (stated == Stated::kHide || stated == Stated::kRoll || stated == Stated::kSheets)
        need.per_unit = 5.0;
      if (stated == Stated::kRoll)
        need.rows = StripRows{0.0, LatticeKind::kTranslated, 100.0, {{0.0, 0.0}, {0.0, 50.0}}, 120.0};
      if (stated != Stated::kNot) {
        MaterialSpec& material = works.materials["kip"];
        material.width = 1400.0;
        material.length = 900.0;
        material.bought_as = stated == Stated::kRoll     ? BoughtAs::kRoll
                             : stated == Stated::kSheets ? BoughtAs::kSheets
                             : stated == Stated::kPieces ? BoughtAs::kPieces
                                                         : BoughtAs::kHides;
        if (stated == Stated::kHide) material.hide = HideSpec{140e4, 5200.0, 0, "", 0.0};
      } else {
        works.materials["kips"] = {};  // is not the one
      }
      SupplySpec supply;
      supply.name = "kip";
      supply.unit = unit;
      supply.lead = 0;
      works.supplies = {supply};
      Order order;
      order.lines = {{"boot", "7", "F", 4, "", 2, 2}};
      Needs needs;
      needs.pieces = {need};
      MaterialNeed whole;
      whole.name = "kip";
      needs.materials = {whole};
      const MaterialSpec* const material = stated == Stated::kNot ? nullptr : &works.materials["kip"];
      if (Status fits = unit_fits(supply, material); !fits) return fits;
      const Result<Schedule> schedule = schedule_of(order, needs, works);
      CHECK(schedule.ok());
      return Done{};
    };
    CHECK(scheduled("").ok());
    for (const char* const unit : {"hides", "sheets", "m", "pieces", "dm2", "sq ft", "kg", "Hides"}) {
      INFO(static_cast<int>(stated) << " " << unit);
      const Status schedule = scheduled(unit);
      if (schedule.ok()) continue;
      ++refused;
      const std::string& message = schedule.problem().message;
      INFO(message);
      const std::string before = "count it in ";
      std::string offered = message.substr(message.rfind(before) + before.size());
      if (const std::size_t last = offered.find(" or "); last != std::string::npos)
        offered.replace(last, 4, ", ");
      for (std::size_t at = 0; at <= offered.size();) {
        const std::size_t end = std::min(offered.find(", ", at), offered.size());
        const std::string one = offered.substr(at, end - at);
        CHECK(one != unit);
        CHECK(scheduled(one).ok());
        at = end + 2;
      }
      CHECK((message.find("has no material \"kip\"") != std::string::npos) == (stated == Stated::kNot));
      CHECK((message.find("states no \"hide\"") != std::string::npos) ==
            (stated == Stated::kNoHide && std::string(unit) == "hides"));
    }
  }
  CHECK(refused == 5 + 4 + 5 + 4 + 4 + 7);
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
