// Figures of die rules that cannot be meant, as they are of another unit, and such as are hardly meant.
//
// What steel weighs is published; every other bound here is common practice, and said to be.
#pragma once

#include <string>
#include <vector>

#include "grading/dies/die_rules.hpp"

namespace lastwright {

struct FigureDoubt {
  std::string pointer;   // of the value in the rules: "/pieces/outsole/rule_height"
  std::string message;   // the value, what would do, and the unit that it is likely to be of
  bool refused = false;  // it cannot be; else it is unusual, and to be looked at
};

// In the order of the keys.
std::vector<FigureDoubt> figure_doubts(const DieRules& rules);

// Of a tolerance by itself, as it is typed; empty: it may be.
std::string tolerance_refused(double value);

}  // namespace lastwright
