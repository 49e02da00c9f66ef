// A date as the user types it.
#pragma once

#include <string>

#include "geometry/result.hpp"

namespace lastwright {

// Nothing, or a day of the calendar written as year, month and day, so that it is read alike everywhere. The
// Problem names the option --date.
Status sound_date(const std::string& text);

}  // namespace lastwright
