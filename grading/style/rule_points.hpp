// The points of its forme that a rule names, and where in the rule: one list for who checks them, who looks
// for unused ones, and who renames them.
#pragma once

#include <string>
#include <vector>

#include "grading/style/style.hpp"

namespace lastwright {

struct RulePoint {
  std::string name;
  std::string at;  // JSON pointer from the rule on: "/from", "/hold/2"
};

// In the order of the file. A rule of a new kind does not compile without its points.
std::vector<RulePoint> rule_points(const Rule& rule);

}  // namespace lastwright
