// The findings of a check as lines for people.
#pragma once

#include <string>
#include <vector>

#include "grading/checks/style_checks.hpp"

namespace lastwright {

// One line a kind of check: the worst of its subjects, its limit, and where; a line more for every failure.
// With `all`, one line a subject.
std::string findings_text(const std::vector<StyleFinding>& findings, bool all);

bool all_passed(const std::vector<StyleFinding>& findings);

}  // namespace lastwright
