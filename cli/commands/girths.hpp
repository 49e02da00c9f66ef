// lastwright girths: the measures of a style by size and width; tape readings judged against them.
#pragma once

#include "cli/app.hpp"

namespace lastwright {

void add_girths(Program& app, Action& action);

}  // namespace lastwright
