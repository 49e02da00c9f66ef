// Lays a scanned mesh on a nominal form and tells how far it lies off, everywhere and in each measure.
//
// The hull of a noisy section reads high by 0.1 to 0.8 mm, because it takes the outermost points. So the scan
// is registered to the nominal form, its signed distances are averaged per face within a few millimetres
// (never across the feather edge), the nominal section is moved by them, and the tape goes round that.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "grading/lasts/last_measure.hpp"

namespace lastwright {

struct ScanFitOptions {
  int points = 4000;  // of the scan, used to register
  int rounds = 60;
  double settled = 1e-6;       // mm of motion at the far end that ends the search
  double reach = 4.0;          // mm: radius within which distances are averaged
  int least = 6;               // scan points there; fewer leave a section point uncovered
  std::size_t own = SIZE_MAX;  // so many of the points are the scanner's own; the rest was filled in between
};

// One scan point on the nominal form.
struct Residual {
  Vec3 foot;  // on the nominal form
  int face = 0;
  double off = 0.0;  // signed distance, outside positive
  bool own = true;   // the scanner's own point, not one filled in between
};
struct ScanFit {
  Motion pose;                      // scan -> nominal frame
  double rms = 0.0;                 // of the signed distances, mm
  std::vector<Residual> residuals;  // every scan point
};
// Points of the exact surfaces of a body, no farther apart than `spacing` mm: a delivered STEP file to be
// checked as a scan is.
std::vector<Vec3> surface_points(const Body& body, double spacing);

// The length of points along their longest principal axis, mm.
double longest_axis(const std::vector<Vec3>& points);
// A scan of another length than the form.
Problem not_as_long(double scan, double form);

// From any pose: principal axes first, then point to plane. Refuses a scan that does not come within 15 mm
// (rms) of the form in any of the four poses the axes allow. Deterministic.
Result<ScanFit> fit_scan(const Body& nominal, const std::vector<Vec3>& scan,
                         const ScanFitOptions& options = {});

struct ScannedMeasure {
  double value = 0.0;
  double noise = 0.0;    // one standard deviation of what the averaging leaves of unconnected errors, mm
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
