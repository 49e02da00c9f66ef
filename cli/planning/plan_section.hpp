// What an order takes, how it is kept together and what must be ordered by when: for the report's page.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "cli/planning/load_order.hpp"
#include "grading/planning/tickets.hpp"

namespace lastwright {

struct PlanSection {
  std::string html;                 // trusted
  std::string text;                 // a line for the summary
  std::string json;                 // all of it with what it rests on
  std::vector<std::string> doubts;  // what may be a mistake in the order and the works file
  bool failed = false;              // rows were left out, or something should have been ordered before now
};

// What the report knows beside the order.
struct PlanExtras {
  DieNumbers dies;                  // of its die order
  std::vector<DieDoubt> stale;      // what that was made from
  std::vector<std::string> doubts;  // of the reported style in the order
};

// Fails as needs, tickets and dates do.
Result<PlanSection> plan_section(const LoadedOrder& order, const PlanExtras& extras, unsigned threads,
                                 const std::function<void(std::size_t)>& advance);

}  // namespace lastwright
