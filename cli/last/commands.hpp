// The commands of lastwright-last: each declares its options and says what it will do.
#pragma once

#include <vector>

#include "cli/app.hpp"
#include "geometry/problem.hpp"

namespace lastwright {

void add_last_measure(Program& app, Action& action);
void add_last_grade(Program& app, Action& action);
void add_last_verify(Program& app, Action& action);
void add_last_formes(Program& app, Action& action);

struct LastSet;

// The exit code of a run whose files are written: lasts that were refused, and bases that are not what they
// are said to be, and rules that contradict the table, which it prints.
ExitCode end_of_run(const LastSet& set);
// The same of a run that is refused: what is known of its bases, which may explain it, and the problem.
ExitCode refused_run(const LastSet& set, const Problem& problem);

// Prints to standard error and gives the exit code.
ExitCode report(const Problem& problem);
ExitCode report(const std::vector<Problem>& problems);

}  // namespace lastwright
