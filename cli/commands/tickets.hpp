// lastwright tickets: how the pieces of an order are kept together.
#pragma once

#include "cli/app.hpp"

namespace lastwright {

void add_tickets(Program& app, Action& action);

}  // namespace lastwright
