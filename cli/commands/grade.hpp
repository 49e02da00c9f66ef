// lastwright grade: every piece of a style in every size and width.
#pragma once

#include "cli/app.hpp"

namespace lastwright {

void add_grade(Program& app, Action& action);

}  // namespace lastwright
