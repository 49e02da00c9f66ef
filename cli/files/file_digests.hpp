// Which files something was made from.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "geometry/result.hpp"

namespace lastwright {

using FileDigests = std::vector<std::pair<std::string, std::string>>;

// Name without its folder, and SHA-256, of each plain file,
// in this order. Folders (an earlier order) are left out.
Result<FileDigests> file_digests(const std::vector<std::string>& files);

// Of a die order that was made from the files `then`: a sentence for each file of `now` that is not among
// them, or is there with another digest.
std::vector<std::string> order_is_stale(const FileDigests& then, const FileDigests& now);

}  // namespace lastwright
