// A taut string around a form: the shortest closed curve outside it near a plane, held at given points, free
// to leave the plane and to bridge hollows.
//
// The string is followed in half-planes that fan out from a line across the section: in each, the form is a
// profile r(h), exact to 0.002 mm, that the string may not cross. Shortened node by node, coarse to fine.
#pragma once

#include <vector>

#include "geometry/result.hpp"
#include "geometry/solid/section.hpp"

namespace lastwright {

struct TautString {
  double length = 0.0;     // mm; about 0.02 short of the limit of ever finer fans
  double off_plane = 0.0;  // how far it leaves the plane, mm
  std::vector<Vec3> points;
};
struct TautStringOptions {
  int half_planes = 192;  // a power of two times 12
  double reach = 45.0;    // how far from the plane the string may go, mm
  double settled = 1e-5;  // sweeps end when none moves a node along the fan's line by more, mm
  int sweeps = 4000;
};
// Refuses a plane that misses the form, and a string that runs into the reach or does not settle.
Result<TautString> taut_string(const Form& form, const Plane3& plane, const std::vector<Vec3>& held,
                               const TautStringOptions& options = {});

}  // namespace lastwright
