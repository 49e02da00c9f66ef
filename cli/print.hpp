// What a command says: results to standard output, problems to standard error.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "cli/exit_codes.hpp"
#include "cli/files/output_set.hpp"
#include "geometry/result.hpp"

namespace lastwright {

// Prints one line, fit for a terminal whatever its file or names hold, and gives the exit code of its family.
ExitCode print_problem(const Problem& problem);
// All of them; the exit code of the first.
ExitCode print_problems(const std::vector<Problem>& problems);

// What may be wrong, to standard error; it changes no exit code.
void print_warning(std::string_view text);

// The exit code at the end of a command: where a warning could not be written, as on a full device, it is not
// kOk, for its absence would be taken for a sound result.
ExitCode unless_unsaid(ExitCode code);

// All bytes to standard output; a full device or a closed pipe is reported, not ignored.
ExitCode print_result(std::string_view bytes);
// A summary for people: the same, fit for a terminal whatever names it holds.
ExitCode print_summary(std::string_view text);
// The bytes into a file, whole or not at all; never over an input, nor over an existing one without `force`.
// Empty or "-": standard output.
ExitCode put_result(std::string_view bytes, const std::string& path, const OutputOptions& options);

}  // namespace lastwright
