// lastwright dies: the die order of a style.
#pragma once

#include "cli/app.hpp"

namespace lastwright {

void add_dies(CLI::App& app, Action& action);

}  // namespace lastwright
