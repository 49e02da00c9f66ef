// Names that an option takes one by one or several with commas, as --sizes does.
#pragma once

#include <string>
#include <vector>

namespace lastwright {

// A word that is no known name itself and holds commas is a list where each of its parts is one; any other
// word stays as it is, for whoever tells that there is none of its name.
std::vector<std::string> listed_names(const std::vector<std::string>& words,
                                      const std::vector<std::string>& known);

}  // namespace lastwright
