// lastwright hide: whole pairs laid on a hide.
#pragma once

#include "cli/app.hpp"

namespace lastwright {

void add_hide(Program& app, Action& action);

}  // namespace lastwright
