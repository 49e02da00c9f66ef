// When what must be ordered, for people and programs.
#pragma once

#include <string>
#include <vector>

#include "cli/table.hpp"
#include "grading/planning/schedule.hpp"

namespace lastwright {

std::vector<Table> dates_tables(const Schedule& schedule, const WorksSpec& works);
std::string dates_json(const Schedule& schedule, const WorksSpec& works);
std::string dates_page(const Schedule& schedule, const WorksSpec& works);
std::string dates_text(const Schedule& schedule, const WorksSpec& works);

}  // namespace lastwright
