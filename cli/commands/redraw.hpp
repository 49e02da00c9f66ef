// lastwright redraw: a changed drawing takes the place of the one a style was made from.
#pragma once

#include "cli/app.hpp"

namespace lastwright {

void add_redraw(Program& app, Action& action);

}  // namespace lastwright
