// lastwright dates: what must be ordered by when.
#pragma once

#include "cli/app.hpp"

namespace lastwright {

void add_dates(Program& app, Action& action);

}  // namespace lastwright
