// From a loaded style to its die order: the places where a
// die may be drawn, the grade there, the plan, the lines.
#pragma once

#include <string>
#include <vector>

#include "grading/dies/owned/earlier_die.hpp"
#include "grading/jobs/load_style.hpp"

namespace lastwright {

struct PlannedOrder {
  DiePlan plan;
  DieOrder
      order;  // `failed` holds what `check` proves wrong of the sizes and widths, and the seams as served
  DiePlaces places;
};

// The rules in `file`, for the pieces of the style; without a file the rules that hold unless told otherwise.
Result<DieRules> load_die_rules(const std::string& file, const StyleSpec& style);

// Every die that the files (read_owned_dies) hold, each once (each_once), in their order. Refuses an order
// that names dies as there already which neither it nor the other files hold: they would be ordered again,
// and their numbers given to others.
Result<std::vector<EarlierDie>> load_earlier_dies(const std::vector<std::string>& files);
Result<std::vector<OwnedDie>> load_owned_dies(const std::vector<std::string>& files);

// `judged`: the findings of the style's own run where they are there already; null: they are made. threads: 0
// for one per core; the order does not depend on them.
Result<PlannedOrder> plan_order(const LoadedStyle& style, const DieRules& rules,
                                const std::vector<OwnedDie>& owned, const std::vector<StyleFinding>* judged,
                                unsigned threads);

}  // namespace lastwright
