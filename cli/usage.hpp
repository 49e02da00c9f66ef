// What is said where the command line is not understood: the word, and what may have been meant.
#pragma once

#include <CLI/App.hpp>
#include <CLI/Validators.hpp>
#include <string>
#include <vector>

#include "cli/exit_codes.hpp"

namespace lastwright {

// The first word of the command line, where it is none of `commands`: told with the nearest one.
std::string unknown_command(const std::string& word, const std::vector<std::string>& commands);

// A number from `low` to `high`. The library's own check lets "nan" through.
CLI::Validator within(double low, double high);

// Prints what the option library found wrong, as every other problem is printed; help and version as they
// are.
ExitCode print_usage_error(const CLI::App& app, const CLI::ParseError& error,
                           const std::vector<std::string>& words);

}  // namespace lastwright
