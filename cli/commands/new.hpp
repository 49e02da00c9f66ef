// lastwright new: a first style file from a bare drawing.
#pragma once

#include "cli/app.hpp"

namespace lastwright {

void add_new(Program& app, Action& action);

}  // namespace lastwright
