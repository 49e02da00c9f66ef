// Why something on a layer without a role is left out, and what to write in the style so that it is not.
#pragma once

#include <string>

#include "geometry/io/drawing.hpp"

namespace lastwright {

// Names the layer and the roles that what is drawn there may have.
std::string no_role(const DrawnFrom& from);

}  // namespace lastwright
