// What can be told of a STEP file (ISO 10303-21) from its text alone, before the solid kernel sees it.
#pragma once

#include <string_view>

#include "geometry/result.hpp"

namespace lastwright {

// Fails, with the line, for a number that no last can hold (above a kilometre in micrometres; absurd ones
// cost the kernel minutes) and for a reference to an entity that the file does not define: the kernel would
// leave out in silence what needs it. Texts and comments are passed over.
Status scan_step(std::string_view bytes);

}  // namespace lastwright
