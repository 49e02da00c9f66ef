// lastwright needs: what an order takes of each material.
#pragma once

#include "cli/app.hpp"

namespace lastwright {

void add_needs(Program& app, Action& action);

}  // namespace lastwright
