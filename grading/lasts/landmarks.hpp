// Landmarks proposed from shares of the length, to be confirmed or moved by a last maker. Frozen as (face, u,
// v) from then on: shares only seed them.
#pragma once

#include "grading/lasts/last_measure.hpp"
#include "grading/lasts/stand.hpp"

namespace lastwright {

// Where the marks lie, as shares of the stick length from
// the heel. Common practice, not from a published table.
struct LandmarkShares {
  double seat = 0.16;
  double outside_tread = 0.63;
  double inside_tread = 0.715;
  double waist = 0.525;
  double waist_top = 0.58;
  double instep_bottom = 0.465;
  double instep_top = 0.545;
  double ankle = 0.475;  // highest mark on the cone, under the top plane's front
  double toe = 0.93;     // where the toe's thickness is taken
};

// Proposes: heel point, toe point, heel feather, toe feather, heel top, seat outside, seat inside, seat
// middle, tread outside, tread inside, tread middle, waist bottom, waist top, instep bottom, instep top,
// ankle top, toe bottom, toe top, and the ends of the bottom's width at waist and instep. Refuses a body on
// which one cannot be found, naming it (no featherline: no edges between bottom and upper).
Result<Landmarks> propose_landmarks(const Body& body, const Standing& standing,
                                    const LandmarkShares& shares = {});

}  // namespace lastwright
