// What a style is read from, without reading more than the style file: for who keeps account of what has
// changed.
#pragma once

#include <string>
#include <vector>

#include "geometry/result.hpp"

namespace lastwright {

// Every file that load_style reads for this style, each once: the style, these tables and its own, its
// drawings, the files of its lasts' rules. They need not be there. Fails where the style file itself cannot
// be read.
Result<std::vector<std::string>> style_files(const std::string& path, const std::vector<std::string>& tables);

}  // namespace lastwright
