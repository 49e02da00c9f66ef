// What an order takes as JSON, and the words that its tables share with it.
#pragma once

#include <string>

#include "cli/report/failed_checks.hpp"
#include "grading/planning/consumption.hpp"

namespace lastwright {

const char* unit_of(BoughtAs bought);
// "not stated" where the works file does not have the material.
std::string bought_text(const MaterialNeed& need);

std::string needs_json(const Needs& needs, const Order& order, const FailedStyles& failed);

}  // namespace lastwright
