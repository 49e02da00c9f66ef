// Adds entries to the catalog of a finished PDF, by an incremental update: ISO 32000-1, 7.5.6.
#pragma once

#include <string>
#include <string_view>

#include "geometry/result.hpp"

namespace lastwright {

// `entries`: what is put into the catalog dictionary, e.g. "/ViewerPreferences << /PrintScaling /None >>".
// The file keeps its bytes; a new catalog, a cross-reference section and a trailer are put behind them.
// Refuses files without a plain cross-reference table.
Result<std::string> with_catalog_entries(std::string pdf, std::string_view entries);

}  // namespace lastwright
