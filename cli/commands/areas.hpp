// lastwright areas: what each piece takes of its material.
#pragma once

#include "cli/app.hpp"

namespace lastwright {

void add_areas(Program& app, Action& action);

}  // namespace lastwright
