// lastwright report: one page about a graded run, to look at, to print and to keep.
#pragma once

#include "cli/app.hpp"

namespace lastwright {

void add_report(Program& app, Action& action);

}  // namespace lastwright
