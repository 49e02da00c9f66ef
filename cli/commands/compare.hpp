// lastwright compare: what differs between two versions of a style.
#pragma once

#include "cli/app.hpp"

namespace lastwright {

void add_compare(Program& app, Action& action);

}  // namespace lastwright
