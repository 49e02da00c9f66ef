// On which side the bevel of dies that are there already lies, as far as their own orders say.
#pragma once

#include <string>
#include <vector>

#include "grading/dies/order/die_stated.hpp"

namespace lastwright {

// Of a line whose dies are all there.
StatedFact bevel_there(const DieOrderLine& line);

// Dies that are there whose bevel is not known, was taken in their own order, lies otherwise than that of the
// other foot's, or otherwise than this order asks for.
std::vector<std::string> bevel_notes(const DieOrder& order);

}  // namespace lastwright
