// The options that every command with a style file has.
#pragma once

#include <CLI/App.hpp>

#include "cli/style_files.hpp"

namespace lastwright {

// Declares --table and --units.
void add_load_style_options(CLI::App& command, LoadStyleOptions& options);

}  // namespace lastwright
