// Lays a scanned mesh on a nominal form and tells how far each of its points lies off.
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

}  // namespace lastwright
