// The command line: one object that owns all commands.
//
// A command is a file pair in cli/commands/: an options struct, add_<command>(app, action) that declares the
// options, and a run function that reads like the data-flow picture of the README. To add one, write the pair
// and name it in app.cpp.
#pragma once

#include "cli/options.hpp"

namespace lastwright {

// Parses and runs. Prints problems to standard error. Never throws.
int run_lastwright(int argc, const char* const* argv);

}  // namespace lastwright
