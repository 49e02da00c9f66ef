// What the tickets of an order rest on and cannot say, in words.
#pragma once

#include <vector>

#include "grading/planning/tickets.hpp"

namespace lastwright {

// Adds to their notes: hands that were counted together, materials that are bought ready cut, styles that do
// not say which foot they draw.
void tell_of_pieces(const std::vector<OrderedStyle>& styles, const WorksSpec& works, Tickets& all);

// Adds to their notes: a name that is the file's, numbers that no barcode holds.
void tell_of_numbers(const Order& order, Tickets& all);

}  // namespace lastwright
