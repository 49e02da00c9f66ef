// Names for the pieces of a first style.
#pragma once

#include <string>

namespace lastwright {

// "QUARTER_OUTSIDE" -> "quarter outside": a name a person would write, of 60 bytes at most, or "".
std::string plain_name(const std::string& block);

}  // namespace lastwright
