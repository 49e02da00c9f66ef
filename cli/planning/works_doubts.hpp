// What may be a mistake in an order and its works file; the figures take it as it stands.
#pragma once

#include <string>
#include <vector>

#include "cli/planning/load_order.hpp"

namespace lastwright {

// Materials that no piece of the works's styles is of, and materials of ordered pieces that the works file
// does not have.
std::vector<Problem> works_doubts(const LoadedOrder& order);

// What is told of the order and of the works file, a line each; the first of them to standard error as
// warnings, with how many more there are.
std::vector<std::string> doubts_text(const Order& order);
void print_doubts(const std::vector<std::string>& lines);

}  // namespace lastwright
