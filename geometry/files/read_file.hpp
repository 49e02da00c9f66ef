// A whole file into memory, within a limit.
#pragma once

#include <cstddef>
#include <string>

#include "geometry/result.hpp"

namespace lastwright {

// Refuses what is not there, cannot be read, is not a plain
// file (or "-", standard input) or is larger than the limit.
Result<std::string> read_file(const std::string& path, std::size_t most_bytes = std::size_t{64} << 20);

}  // namespace lastwright
