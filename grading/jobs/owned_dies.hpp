// Dies a works has already: from an earlier order's folder, or as plain DXF drawings.
#pragma once

#include <string>
#include <vector>

#include "grading/dies/die_plan.hpp"

namespace lastwright {

// `path`: a folder that holds die-order.json, that file itself, or one DXF drawing of one die. A drawing
// outside an order is one die, of any piece and either foot, named for its file, with what its
// texts say of it (grading/dies/die_says); an order's line is the dies that it ordered.
Result<std::vector<OwnedDie>> read_owned_dies(const std::string& path);

}  // namespace lastwright
