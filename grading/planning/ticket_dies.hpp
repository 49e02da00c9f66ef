// The dies that tickets name, and the pieces for which a die order has none.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "grading/planning/tickets.hpp"

namespace lastwright {

// Out of the die-order.json of `lastwright dies`.
struct DieOrderDies {
  std::string style;  // by the name that it gives itself
  DieNumbers numbers;
  std::vector<std::pair<std::string, std::string>> made_from;  // files and their SHA-256, as it states them
};
Result<DieOrderDies> read_order_dies(std::string_view text, const std::string& file);

// Marks the rows of styles with a die order for which it has no die, and tells them; tells the styles without
// one. Pieces that are bought ready cut need none. Refuses dies of a style that is not ordered, and dies
// where two styles call themselves alike.
Status take_dies(const std::vector<OrderedStyle>& styles, const WorksSpec& works, const DieNumbers& dies,
                 Tickets& all);

}  // namespace lastwright
