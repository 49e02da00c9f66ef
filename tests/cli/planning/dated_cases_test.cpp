// Cases by date: shown as their pairs are planned.
#include "cli/planning/dated_cases.hpp"

#include <catch2/catch.hpp>
#include <map>
#include <set>

#include "cli/planning/dates_report.hpp"
#include "grading/json/json_text.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/parsed_json.hpp"

using namespace lastwright;

namespace {

Order random_order() {
  Order order;
  const int rows = *rc::gen::inRange(1, 9);
  for (int k = 0; k < rows; ++k) {
    OrderLine line;
    line.style = *rc::gen::element<std::string>("boot", "mule");
    const std::string number = *rc::gen::element<std::string>("", "A", "B");
    line.case_number = number.empty() ? "" : number + " " + line.style;
    line.size = *rc::gen::element<std::string>("7", "8");
    line.width = "F";
    line.pairs = *rc::gen::inRange(1, 9);
    line.period = *rc::gen::inRange(0, 5);
    line.line = k + 2;
    line.due = *rc::gen::element<std::string>("", "2031-04-07", "2031-04-09");
    order.pairs += line.pairs;
    order.lines.push_back(line);
  }
  return order;
}

}  // namespace

TEST_CASE("cases by date have each case's pairs, and in each period those that are planned", "[planning]") {
  int of_several = 0;
  test::holds_for_all("rows of a case come to its pairs, rows of a period to its plan", [&] {
    const Order order = random_order();
    WorksSpec works;
    works.pairs_per_case = *rc::gen::inRange(1, 6);
    SupplySpec laces;
    laces.name = "laces";
    laces.per_pair = 1.0;
    laces.lead = 0;
    works.supplies = {laces};
    const Result<Schedule> schedule = schedule_of(order, {}, works);
    RC_ASSERT(schedule.ok());
    const std::vector<double>& planned = schedule->plan.items.front().gross;
    std::map<std::string, std::int64_t> of_case;
    std::map<std::int64_t, double> of_period;
    const Json json = test::parsed_json(dates_json(*schedule, works, order, {}));
    const Table table = cases_table(dated_cases(order, works), works);
    RC_ASSERT(json.at("cases").size() == table.rows.size());
    std::set<std::pair<std::string, int>> rows;
    for (std::size_t r = 0; r < table.rows.size(); ++r) {
      const Json& one = json.at("cases")[r];
      const int pairs = one.at("pairs").get<int>();
      RC_ASSERT(std::get<std::int64_t>(table.rows[r].at(2).value) == pairs);
      of_case[one.at("case").get<std::string>()] += pairs;
      const int period = one.at("period").is_null() ? 0 : one.at("period").get<int>();
      of_period[period] += pairs;
      if (period > 0) RC_ASSERT(rows.insert({one.at("case").get<std::string>(), period}).second);
    }
    for (const OrderCase& one : cases_of(order, works.pairs_per_case)) {
      RC_ASSERT(of_case.at(one.number) == static_cast<std::int64_t>(one.pairs.size()));
      if (one.parts.size() > 1) ++of_several;
    }
    for (std::size_t period = 1; period < planned.size(); ++period)
      RC_ASSERT(of_period[static_cast<std::int64_t>(period)] == planned[period]);
    double all = 0.0;
    for (const auto& [period, pairs] : of_period) all += pairs;
    RC_ASSERT(all == order.pairs);
  });
  CHECK(of_several > 15);
}

TEST_CASE("each period of a case has its own first due date, or says that none is stated", "[planning]") {
  Order order;
  order.lines = {{"boot", "7", "F", 6, "A", 6, 2},
                 {"boot", "9", "F", 4, "A", 7, 3, "2031-06-21"},
                 {"boot", "8", "F", 3, "A", 7, 4, "2031-06-20"},
                 {"boot", "8", "F", 1, "A", 0, 5, "2030-01-01"},
                 {"boot", "8", "F", 2, "A", 0, 6}};
  order.pairs = 16;
  WorksSpec works;
  const auto row = [&](std::size_t k) {
    std::string text;
    const Table table = cases_table(dated_cases(order, works), works);
    for (const TableCell& cell : table.rows.at(k)) {
      if (const auto* words = std::get_if<std::string>(&cell.value)) text += *words + "|";
      if (const auto* number = std::get_if<std::int64_t>(&cell.value)) text += std::to_string(*number) + "|";
    }
    return text;
  };
  CHECK(row(0) == "A|boot|6|6|no calendar|not stated|16|none|");
  CHECK(row(1) == "A|boot|7|7|no calendar|2031-06-20|16|none|");
  works.calendar = WorksCalendar{"2031-05-05", 7, 0, {}, {}};
  CHECK(row(1) == "A|boot|7|7|2031-06-16|2031-06-20|16|none|");
  CHECK(row(2) == "A|boot|1|outside the calendar||2030-01-01|16|none|");
  CHECK(row(3) == "A|boot|2|not stated||not stated|16|none|");
  for (OrderLine& line : order.lines) line.assortment = "small";
  CHECK(row(0).ends_with("|16|small|"));
}
