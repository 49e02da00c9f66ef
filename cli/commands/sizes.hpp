// lastwright sizes: scales and ladders, runs with their lengths, conversions through named allowances.
#pragma once

#include "cli/app.hpp"

namespace lastwright {

void add_sizes(Program& app, Action& action);

}  // namespace lastwright
