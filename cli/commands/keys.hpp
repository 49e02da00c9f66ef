// lastwright keys [FILE]: the keys of the JSON files that people write.
#pragma once

#include "cli/options.hpp"

namespace lastwright {

void add_keys(Program& app, Action& action);

}  // namespace lastwright
