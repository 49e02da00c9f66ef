// A die order that was made from other files than its style has now.
#pragma once

#include <string>
#include <vector>

#include "cli/files/file_digests.hpp"
#include "cli/planning/load_order.hpp"
#include "grading/planning/tickets.hpp"

namespace lastwright {

// `style`: by the name that it gives itself; `made_from`: as the die order states it. One doubt for each
// changed file of each ordered style of that name.
Result<std::vector<DieDoubt>> stale_dies(const LoadedOrder& order, const std::string& style,
                                         const FileDigests& made_from);

}  // namespace lastwright
