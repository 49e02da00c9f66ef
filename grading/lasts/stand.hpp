// Stands a body of unknown axes on the ground as a last: x from heel to toe, z up, y to the left, heel point
// at x = 0, the tread at z = 0.
#pragma once

#include <optional>

#include "geometry/result.hpp"
#include "geometry/solid/body.hpp"

namespace lastwright {

enum class LastFoot { kLeft, kRight };

struct StandOptions {
  // Pitch: where the file's axes fit the form within 20 degrees they are kept, pitch included. Otherwise, or
  // where this is given, the last is tilted until its seat stands this high, mm.
  std::optional<double> heel_height;
};
struct Standing {
  Motion motion;        // what was applied
  SurfaceSpot heel;     // heel-most point
  SurfaceSpot toe;      // toe-most point
  double length = 0.0;  // between them along x
  LastFoot foot = LastFoot::kLeft;
  double foot_doubt = 0.0;  // 0 sure .. 1 a coin toss: how little inside and outside differ
};
// Moves the body, finds its roles and turns it until the line from heel point to toe point runs along x.
// Refuses a form that is not last-like: proportions off (length 2 to 5 times the width, 120 to 420 mm long,
// far lower towards the toe than over the heel), no bottom.
Result<Standing> stand(Body& body, const StandOptions& options = {});

// The mesh node farthest along a direction, then climbed on the surface.
SurfaceSpot farthest(const Body& body, Vec3 along);

}  // namespace lastwright
