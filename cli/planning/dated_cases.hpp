// The cases of an order by when they are wanted: each case once for each of its periods, as it is planned.
#pragma once

#include <string>
#include <vector>

#include "cli/tables/table.hpp"
#include "grading/json/json_forward.hpp"
#include "grading/planning/tickets.hpp"

namespace lastwright {

// What one case asks for in one period.
struct DatedCase {
  std::string number;
  std::string style;
  std::string assortment;  // that it is filled with; empty: none
  CasePart part;
  std::size_t of_case = 0;  // pairs that the case holds in all its periods
};

// By period, those without one last; in one period by date. The parts of a case come to its pairs, and those
// of a period to the pairs that are planned in it.
std::vector<DatedCase> dated_cases(const Order& order, const WorksSpec& works);

Table cases_table(const std::vector<DatedCase>& cases, const WorksSpec& works);
Json cases_json(const std::vector<DatedCase>& cases, const WorksSpec& works);

}  // namespace lastwright
