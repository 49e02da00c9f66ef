// Why something on a layer without a role is left out, and what to write in the style so that it is not.
#pragma once

#include <string>

#include "geometry/io/drawing.hpp"

namespace lastwright {

// Names the layer and the roles that what is drawn there may have. `may_be_piece`: it is closed, and large
// enough for an outline.
std::string no_role(const DrawnFrom& from, bool may_be_piece = false);

}  // namespace lastwright
