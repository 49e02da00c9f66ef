// Measures of a scan that lies on its nominal form (scan_fit.hpp).
//
// The hull of a noisy section reads high by 0.1 to 0.8 mm, because it takes the outermost points. So the
// scan's signed distances are averaged per face within a few millimetres (never across the feather edge), the
// nominal section is moved by them, and the tape goes round that.
#pragma once

#include <string>
#include <vector>

#include "grading/lasts/scan_fit.hpp"

namespace lastwright {

struct ScannedMeasure {
  double value = 0.0;
  // One standard deviation of what the averaging leaves of unconnected errors and, of a length, half of what
  // a coarse mesh's chords may lack at its ends, mm.
  double noise = 0.0;
  double covered = 1.0;  // share of the section or of the landmarks with enough scan points near them
  std::string definition;
};
// Plane hulls, distances and extents; other methods are refused. Several at once share the averaging.
Result<std::vector<ScannedMeasure>> scanned_measures(const std::vector<MeasureDefinition>& definitions,
                                                     const Body& nominal, const Landmarks& landmarks,
                                                     const ScanFit& fit, const ScanFitOptions& options = {});
Result<ScannedMeasure> scanned_measure(const MeasureDefinition& definition, const Body& nominal,
                                       const Landmarks& landmarks, const ScanFit& fit,
                                       const ScanFitOptions& options = {});

}  // namespace lastwright
