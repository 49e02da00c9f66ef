#include "cli/planning/dated_cases.hpp"

#include <algorithm>
#include <tuple>

#include "grading/json/json_text.hpp"
#include "grading/planning/calendar.hpp"
#include "grading/planning/works_calendar.hpp"

namespace lastwright {

std::vector<DatedCase> dated_cases(const Order& order, const WorksSpec& works) {
  std::vector<DatedCase> all;
  for (const OrderCase& one : cases_of(order, works.pairs_per_case)) {
    for (const CasePart& part : one.parts)
      all.push_back({one.number, one.style, one.assortment, part, one.pairs.size()});
  }
  const auto at = [](const DatedCase& one) {
    return std::tuple(one.part.period == 0, one.part.period, one.part.due.empty(), one.part.due);
  };
  std::stable_sort(all.begin(), all.end(),
                   [&](const DatedCase& one, const DatedCase& other) { return at(one) < at(other); });
  return all;
}

Table cases_table(const std::vector<DatedCase>& cases, const WorksSpec& works) {
  Table table;
  table.name = "cases by date";
  table.filter = true;
  table.columns = {{"case", 14, 0},
                   {"style", 20, 0},
                   {"pairs", 7, 0},
                   {"period", 7, 0},
                   {"period begins", 12, 0},
                   {"first due date", 12, 0},
                   {"pairs in the case", 7, 0},
                   {"assortment", 14, 0}};
  for (const DatedCase& one : cases) {
    const CasePart& part = one.part;
    const bool dated = part.period != 0;
    table.rows.push_back(
        {{one.number},
         {one.style},
         {std::int64_t{part.pairs}},
         dated ? TableCell{std::int64_t{part.period}}
               : TableCell{part.due.empty() ? "not stated" : "outside the calendar", Emphasis::kBad},
         {!works.calendar ? "no calendar"
                          : (dated ? day_text(period_begins(*works.calendar, part.period)) : "")},
         {part.due.empty() ? "not stated" : part.due},
         {static_cast<std::int64_t>(one.of_case)},
         {one.assortment.empty() ? "none" : one.assortment}});
  }
  return table;
}

Json cases_json(const std::vector<DatedCase>& cases, const WorksSpec& works) {
  Json list = Json::array();
  for (const DatedCase& one : cases) {
    const CasePart& part = one.part;
    Json json{{"case", one.number},
              {"style", one.style},
              {"pairs", part.pairs},
              {"pairs_in_case", one.of_case},
              {"assortment", one.assortment.empty() ? Json() : Json(one.assortment)},
              {"period", part.period == 0 ? Json() : Json(part.period)},
              {"due", part.due.empty() ? Json() : Json(part.due)}};
    if (part.period != 0 && works.calendar)
      json["begins"] = day_text(period_begins(*works.calendar, part.period));
    list.push_back(std::move(json));
  }
  return list;
}

}  // namespace lastwright
