// lastwright dies: the die order of a style.
#pragma once

#include "cli/app.hpp"

namespace lastwright {

void add_dies(Program& app, Action& action);

}  // namespace lastwright
