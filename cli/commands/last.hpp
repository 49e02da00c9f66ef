// lastwright last ...: hands over to the program lastwright-last, which lies beside this one.
//
// A process of its own, for three reasons: the solid kernel costs every start some 60 ms of loading, and the
// other commands need none of it; a kernel that crashes on a hostile file takes nothing else with it and
// still ends in a documented exit code here; and it needs no rules for loading code at run time.
#pragma once

#include "cli/app.hpp"

namespace lastwright {

void add_last(Program& app, Action& action);

}  // namespace lastwright
