// The part of the grading map that belongs to the base last:
// its bottom's middle line and profile, its top plane.
#pragma once

#include "geometry/result.hpp"
#include "grading/lasts/axis_map.hpp"
#include "grading/lasts/landmarks.hpp"

namespace lastwright {

// Least squares through stations along the featherline, smoothed: the map needs a smooth line near the
// bottom, not the bottom itself. Notes on the body a top plane that is not plane or tilts sideways.
Result<AxisFrame> axis_frame_of(Body& body, const Standing& standing, const Landmarks& landmarks);

// Coefficients whose spline comes nearest to the samples, with a little bending energy so that ends without
// samples stay quiet.
AxisSpline fit_axis_spline(double length, const std::vector<std::pair<double, double>>& samples);

}  // namespace lastwright
