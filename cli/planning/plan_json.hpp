// What the report says of an order of pairs, for programs: every figure with the data of the user that it
// rests on. cli/planning/plan.schema.json documents every key.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "cli/files/file_digests.hpp"
#include "cli/planning/label_sheet.hpp"
#include "cli/planning/load_order.hpp"
#include "grading/planning/schedule.hpp"
#include "grading/planning/tickets.hpp"

namespace lastwright {

struct PlanFigures {
  const LoadedOrder& order;
  const Needs& needs;
  const Tickets& tickets;
  const LabelSheet& labels;
  const Schedule& schedule;
  std::vector<std::string> hides;  // JSON of each layout, as hide writes it
  std::size_t late = 0;            // supplies
  std::vector<std::string> notes;
};

std::string plan_json(const PlanFigures& figures, const FileDigests& files);

}  // namespace lastwright
