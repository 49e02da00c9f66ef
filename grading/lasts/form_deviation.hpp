// How far the form of a scan lies from its nominal last at its worst, measures aside: of the means of small
// neighbourhoods the lowest and the highest, with their places.
#pragma once

#include <optional>
#include <string>

#include "grading/lasts/last_foot.hpp"
#include "grading/lasts/scan_fit.hpp"

namespace lastwright {

struct FormPlace {
  double off = 0.0;        // mm, outside positive: the mean of the neighbourhood without its stray points
  double along = 0.0;      // share of the length from the heel
  double to_inside = 0.0;  // mm from the line from heel to toe; negative: to the outside
  double high = 0.0;       // mm above the ground
  int role = 0;            // of its face, see FaceRole
};
struct FormDeviation {
  FormPlace least;  // farthest in
  FormPlace most;   // farthest out
  // On the bottom, where a worn joint or a dent is small: farthest in or out beyond what noise may do to the
  // mean.
  std::optional<FormPlace> bottom = {};
  double bottom_error = 0.0;  // mm: four standard deviations of that mean
};
// The scan lies on the nominal last, which stands with its heel at x = 0 and has this length. Neighbourhoods
// do not reach from one of bottom, upper and top to another. Nothing where none has points enough.
std::optional<FormDeviation> form_deviation(const ScanFit& fit, const Body& nominal, double length,
                                            LastFoot foot, const ScanFitOptions& options = {});

// The form is not judged. Beyond so many tolerances of the measures it is told to be looked at; the bottom,
// which carries the foot, beyond one of them.
inline constexpr double kLookAt = 3.0;

// Of a point on a face with this role, no distance off.
FormPlace place_at(Vec3 p, int role, double length, LastFoot foot);

const char* face_word(int role);
std::string place_of(const FormPlace& place);
// Both places with their deviations.
std::string told_of(const FormDeviation& form);
// What must be looked at, with its places; empty where nothing lies beyond the limit.
std::string form_note(const FormDeviation& form, double tolerance);

}  // namespace lastwright
