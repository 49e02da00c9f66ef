// lastwright plot: graded pieces on paper at true scale.
#pragma once

#include "cli/app.hpp"

namespace lastwright {

void add_plot(Program& app, Action& action);

}  // namespace lastwright
