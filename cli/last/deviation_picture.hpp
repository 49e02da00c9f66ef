// A picture of how far a scan lies off its nominal last: four views, coloured by signed distance.
#pragma once

#include <string>

#include "geometry/last/scan_fit.hpp"
#include "geometry/last/stand.hpp"

namespace lastwright {

// Cells of 2 mm hold the mean of the scan points in them: blue inside the nominal form, red outside, grey
// within 0.1 mm.
std::string deviation_svg(const ScanFit& fit, const Body& nominal, double length, LastFoot foot);

}  // namespace lastwright
