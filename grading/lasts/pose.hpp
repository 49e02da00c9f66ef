// How a last of unknown axes stands, told by its form alone: which way is up, which end the toe is, how it is
// pitched and rolled. Nothing here depends on the origin or the axes of the file.
#pragma once

#include <string>
#include <vector>

#include "geometry/result.hpp"
#include "geometry/solid/body.hpp"
#include "grading/lasts/last_axes.hpp"

namespace lastwright {

// The pitch of a standing last by three signs of its bottom's middle line,
// weighed by how far lasts differ in each: it touches the ground at the tread,
// rises to the toe, and falls a little from the seat's back to its front.
struct PitchSigns {
  double turn = 0.0;   // radians by which the toe should sink for the signs to agree best
  double doubt = 0.0;  // one standard deviation, radians; more where the signs disagree, and with a heel
  double apart = 0.0;  // how far they disagree, in standard deviations (root mean square)
};

// A polyline's pieces in the plane (x ahead, z up).
struct ProfilePiece {
  double x0, z0, x1, z1;
};
// Of the lower line of a section along the last between its ends. Nothing known (doubt infinite) where the
// line does not reach from heel to toe.
PitchSigns pitch_signs(const std::vector<ProfilePiece>& section, double heel_x, double toe_x);

// One way in which the form may stand, by its mesh.
struct PoseGuess {
  LastAxes axes;
  double doubt = 0.0;     // of the pitch, radians
  double mismatch = 0.0;  // 0 a last as lasts are; what cannot be one has more than kNoLast
  std::string unlike;     // what speaks against it, if anything does
};
inline constexpr double kNoLast = 4.0;

// The ways worth a closer look, the likeliest first. Refuses a form without any: its bottom cannot be told.
Result<std::vector<PoseGuess>> guess_poses(const Body& body);

// The direction across the last: as square as can be to the bottom's and the top plane's own directions (to a
// third of a degree) and to the way from heel point to toe point (to two).
Vec3 across_of(Vec3 bottom, Vec3 top, Vec3 heel_to_toe, Vec3 near);

}  // namespace lastwright
