// Measures of a scan that lies on its nominal form (scan_fit.hpp).
//
// The hull of a noisy section reads high by 0.1 to 0.8 mm, because it takes the outermost points. So the
// scan's signed distances are averaged per face within a few millimetres (never across the feather edge), the
// nominal section is moved by them, and the tape goes round that. Where the scan has a hole on the way of the
// tape, the tape is laid once more with the surface there as far out, and as far in, as it may hide
// (scan_cover.hpp), or as what is left out of the scan lies: the difference is stated as `hidden`.
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
  double covered = 1.0;  // share of the section's length or of the landmarks that is seen
  double hidden = 0.0;   // mm: what may hide in the holes on its line or at its ends, see may_lie_off
  struct Gap {
    double size = 0.0;  // mm, along the line; of an end twice its distance from what is seen
    Vec3 middle;
    int face = 0;
  };
  std::vector<Gap> gaps;  // the largest first
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
