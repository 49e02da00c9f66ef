// The die order as JSON: for other programs, and for the next order, which takes its dies as owned
// (ordered_die.hpp).
#pragma once

#include <string>
#include <vector>

#include "grading/dies/owned/earlier_die.hpp"

namespace lastwright {

struct DieFile {
  std::string as_drawn;  // relative to the order; empty where that die is owned
  std::string mirrored;  // empty where one die cuts both feet, or where that die is owned
};

// `earlier`: the dies that are there already, handed on (earlier_die.hpp), with their drawings' places.
std::string die_order_json(const DieOrder& order, const DiePlan& plan, const std::vector<DieFile>& files,
                           const std::vector<EarlierDie>& earlier = {});

}  // namespace lastwright
