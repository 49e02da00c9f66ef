// lastwright guide [PAGE]: the pages of the guide.
#pragma once

#include "cli/options.hpp"

namespace lastwright {

void add_guide(Program& app, Action& action);

}  // namespace lastwright
