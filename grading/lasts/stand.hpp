// Stands a body of unknown axes on the ground as a last: x from heel to toe, z up, y to the left, heel point
// at x = 0, the lowest point of its surface at z = 0.
//
// The form tells how (pose.hpp). The pitch of a last is a choice of its maker that the form shows to a degree
// or two only: where axes of the file lie that near to a standing last's, they tell it, and so does a heel
// height or a pair of axes that the user states.
#pragma once

#include <optional>
#include <string>

#include "geometry/result.hpp"
#include "geometry/solid/body.hpp"
#include "geometry/solid/extreme.hpp"
#include "grading/lasts/foot_signs.hpp"

namespace lastwright {

struct StandOptions {
  std::string
      axes;  // "x,z": the file's axes that point to the toe and up, "-y,z" likewise; empty: by the form
  bool pitch_will_be_set = false;     // by tilt(): a pitch that file and form tell differently is no fault
  std::optional<LastFoot> foot = {};  // as the user states it; unless given the form tells
};
enum class PoseBy { kAxes, kFileUp, kFilePitch, kForm, kHeelHeight };
enum class FootBy { kForm, kStated, kDoubt };  // beyond doubt, by the user, the likelier one only
struct Standing {
  Motion motion;        // what was applied
  SurfaceSpot heel;     // heel-most point
  SurfaceSpot toe;      // toe-most point
  double length = 0.0;  // between them along x
  LastFoot foot = LastFoot::kLeft;
  FootBy foot_by = FootBy::kDoubt;
  FootSigns foot_signs;      // what the form says of it, whoever decided
  std::string against_axes;  // what the form has against stated axes (axes_doubt.hpp)
  PoseBy by = PoseBy::kForm;
  double form_pitch = 0.0;  // radians by which the form alone would have the toe lower
  double doubt = 0.0;       // one standard deviation of that, radians
};
// Moves the body, finds its roles and turns it until the line from the middle of its heel end
// to that of its toe end runs along x.
// Refuses a form that is not last-like, with the reason; one that may stand in two ways, with both and the
// option that decides; axes that are none; and a stated foot that the form contradicts beyond doubt.
Result<Standing> stand(Body& body, const StandOptions& options = {});

// The same but for the faces' roles and the foot: for a body whose faces do not yet tell bottom from upper.
Result<Standing> stand_pose(Body& body, const StandOptions& options = {});

// Tilts a standing last about its width by radians, toe down, and puts it back on the ground.
void tilt(Body& body, Standing& standing, double toe_down);

// What a person should know about how the last was found to stand; empty where all is as the file says.
std::string told_of(const Standing& standing);

}  // namespace lastwright
