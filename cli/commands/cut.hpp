// lastwright cut: files for a contractor's cutting table or plotter.
#pragma once

#include "cli/app.hpp"

namespace lastwright {

void add_cut(Program& app, Action& action);

}  // namespace lastwright
