// lastwright open: a page to work on a style, in the user's browser.
#pragma once

#include "cli/options.hpp"

namespace lastwright {

void add_open(Program& app, Action& action);

}  // namespace lastwright
