// What a report's style and its order of pairs do not have in common.
#pragma once

#include <string>
#include <vector>

#include "cli/planning/load_order.hpp"

namespace lastwright {

// `loaded`: the part of the style in `file` that is reported. Told are an order without pairs of that file,
// one whose works has another file under the style's name, and pairs that the part does not have.
std::vector<std::string> style_doubts(const std::string& file, const LoadedStyle& loaded,
                                      const LoadedOrder& order);

}  // namespace lastwright
