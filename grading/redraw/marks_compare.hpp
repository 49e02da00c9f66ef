// What is cut out, punched, nicked, drawn and marked in a graded piece, compared with that of another.
//
// Places and deviations are those of the curves: more vertices on a line, other chords of a curve or another
// start change nothing.
#pragma once

#include <string>

#include "geometry/map/rigid_fit.hpp"
#include "grading/pieces/graded_piece.hpp"

namespace lastwright {

inline constexpr double kSameCut = 1e-3;  // mm: two lines this near each other are the same

// Why the holes, nicks and cut-outs of one are not those of the other, within `tolerance`, the one laid on
// the other by `laid`; "" where they are. A cut-out is off by the two-sided distance of the two lines.
std::string marks_differ(const GradedPiece& was, const GradedPiece& now, const Placement& laid,
                         double tolerance);

// What is drawn or marked within a cut line that has stayed: the first that differs, in words; "" where
// nothing does.
std::string drawn_differ(const GradedPiece& was, const GradedPiece& now);

}  // namespace lastwright
