// Dies a works has already: from an earlier order's folder, or as plain DXF drawings.
#pragma once

#include <string>
#include <vector>

#include "grading/dies/owned/earlier_die.hpp"

namespace lastwright {

// `path`: a folder that holds die-order.json, that file itself, or one DXF drawing of one die. A drawing
// outside an order is one die, of any piece and either foot, named for its file, with what its
// texts say of it (grading/dies/order/die_says); an order's line is the dies that it ordered. Dies that an order
// was given as there already are in its folder too, and come first. `elsewhere`: gets the numbers of those
// that it names and does not hold.
Result<std::vector<EarlierDie>> read_owned_dies(const std::string& path, std::vector<std::string>& elsewhere);

}  // namespace lastwright
