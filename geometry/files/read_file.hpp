// A whole file into memory, within a limit.
#pragma once

#include <cstddef>
#include <string>

#include "geometry/result.hpp"

namespace lastwright {

// What is said of a pipe, a device or a socket; a command line may say what to do then.
inline constexpr const char* kNotAPlainFile = "this is a pipe, a device or a socket, not a file";

// Refuses what is not there, cannot be read, is not a plain file or is larger than the limit. "-" is standard
// input: who has a name from a file or from another program lets none come here (`file_beside`).
Result<std::string> read_file(const std::string& path, std::size_t most_bytes = std::size_t{64} << 20);

}  // namespace lastwright
