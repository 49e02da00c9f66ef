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
  std::vector<Vec3> normals;   // of the scan at its points, all inward or all outward; empty: not known
};

// A point this far off the form, or so many times as far as half of all points are, is no part of its
// surface.
inline constexpr double kBeyondForm = 4.0;       // mm
inline constexpr double kBeyondOthers = 4.4478;  // three standard deviations, by the middle distance

// One scan point on the nominal form.
struct Residual {
  Vec3 foot;  // on the nominal form
  int face = 0;
  double off = 0.0;  // signed distance, outside positive
  bool own = true;   // the scanner's own point, not one filled in between
  // No part of the form's surface: it lies beyond the limits above, or faces elsewhere than the form there
  // and lies farther off than the others (walls of a cut, a stand, dirt). Measures leave it out.
  bool apart = false;
};
struct ScanFit {
  Motion pose;                      // scan -> nominal frame
  double rms = 0.0;                 // of the signed distances that are not left out, mm
  double beyond = kBeyondForm;      // mm: what lies farther off is left out
  double left_out = 0.0;            // share of the points
  std::vector<Residual> residuals;  // every scan point
};
// Points of the exact surfaces of a body, no farther apart than `spacing` mm: a delivered STEP file to be
// checked as a scan is. `normals`: filled, where asked for, with the unit normal at each, none at the
// corners.
std::vector<Vec3> surface_points(const Body& body, double spacing, std::vector<Vec3>* normals = nullptr);

// The length of points along their longest principal axis, mm.
double longest_axis(const std::vector<Vec3>& points);
// A scan of another length than the form.
Problem not_as_long(double scan, double form);

// From any pose: principal axes first, then point to plane by the points that lie about as near as most do,
// so that a cut, a lump or a stand does not pull. Refuses a scan that does not come within 15 mm (rms) of the
// form in any of the four poses the axes allow. Deterministic.
Result<ScanFit> fit_scan(const Body& nominal, const std::vector<Vec3>& scan,
                         const ScanFitOptions& options = {});

}  // namespace lastwright
