// A picture of how far a scan lies off its nominal last: four views, coloured by signed distance.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/lasts/last_measure.hpp"
#include "grading/lasts/scan_fit.hpp"
#include "grading/lasts/stand.hpp"

namespace lastwright {

// One row of what was found, as the picture repeats it.
struct MeasureNote {
  std::string measure;
  double off = 0.0;
  double uncertainty = 0.0;
  std::string verdict;
  std::optional<Plane3> plane;  // of a girth: drawn on the sides
};
struct DeviationNotes {
  std::string title;
  std::vector<MeasureNote> measures;
};

// Cells of 2 mm hold the mean of the scan points in them: blue inside the nominal form, red outside, grey
// within 0.1 mm, pale yellow where the scan has no points. Every view is as the eye sees it, none mirrored.
std::string deviation_svg(const ScanFit& fit, const Body& nominal, double length, LastFoot foot,
                          const DeviationNotes& notes);

}  // namespace lastwright
