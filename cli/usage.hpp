// What is said where the command line is not understood: the word, and what may have been meant.
#pragma once

#include <string>
#include <vector>

#include "cli/exit_codes.hpp"

namespace lastwright {

// The first word of the command line, where it is none of `commands`: told with the nearest one.
std::string unknown_command(const std::string& word, const std::vector<std::string>& commands);

// A command line that was not understood.
struct NotUnderstood {
  std::string program;
  std::string command;                // that was asked for; empty: none
  std::vector<std::string> commands;  // of the program
  std::vector<std::string> options;   // of the command, or of the program: "--out"
  std::string what;                   // as the option library says it
};

// Prints it as every other problem is printed.
ExitCode print_usage_error(const NotUnderstood& told, const std::vector<std::string>& words);

}  // namespace lastwright
