// lastwright check: what can be proved of a style before anything is cut. Writes nothing.
#pragma once

#include "cli/app.hpp"

namespace lastwright {

void add_check(Program& app, Action& action);

}  // namespace lastwright
