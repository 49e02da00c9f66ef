// The increments of the trade.
#pragma once

#include <string>
#include <vector>

namespace lastwright {

// The two increments of the trade nearest to a fitted step and no further than `within` from it, both
// millimetres: "3/16 in (4.76 mm)", "5 mm".
std::vector<std::string> plain_increments(double value, double within);

}  // namespace lastwright
