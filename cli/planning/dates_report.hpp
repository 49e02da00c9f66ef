// When what must be ordered, for people and programs.
#pragma once

#include <string>
#include <vector>

#include "cli/report/failed_checks.hpp"
#include "cli/tables/table.hpp"
#include "grading/planning/schedule.hpp"

namespace lastwright {

std::vector<Table> dates_tables(const Schedule& schedule, const WorksSpec& works, const Order& order);
// With what is told of the order that they are reckoned from; without one, of an empty order.
std::string dates_json(const Schedule& schedule, const WorksSpec& works, const Order& order,
                       const FailedStyles& failed);
std::string dates_page(const Schedule& schedule, const WorksSpec& works, const Order& order,
                       const FailedStyles& failed);
// Which rows of the order state no period, and what to do; empty where all do.
std::string without_period_words(const Schedule& schedule);
std::string dates_text(const Schedule& schedule, const WorksSpec& works);

}  // namespace lastwright
