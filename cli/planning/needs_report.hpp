// What an order takes, for people and programs.
#pragma once

#include <string>
#include <vector>

#include "cli/report/failed_checks.hpp"
#include "cli/tables/table.hpp"
#include "grading/planning/consumption.hpp"

namespace lastwright {

std::vector<Table> needs_tables(const Needs& needs, const Order& order, const FailedStyles& failed);
std::string needs_page(const Needs& needs, const Order& order, const FailedStyles& failed);
std::string needs_text(const Needs& needs, const Order& order);

}  // namespace lastwright
