// The options that every command with a style file has.
#pragma once

#include "cli/options.hpp"
#include "grading/jobs/load_style.hpp"

namespace lastwright {

// Declares --table and --units.
void add_load_style_options(Command& command, LoadStyleOptions& options);

}  // namespace lastwright
