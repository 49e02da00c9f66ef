// How far what a sewn-products drawing describes lies from the piece that was graded.
#pragma once

#include <string>

#include "geometry/io/sewn/sewn_dxf.hpp"
#include "geometry/result.hpp"
#include "grading/pieces/graded_piece.hpp"

namespace lastwright {

// Greatest distances both ways between a line as graded and as described, over boundaries, internal lines,
// cut-outs and sew lines, mm; certified, never too low, and too high by kSewnFit at most. A smooth line is
// the spline of grading/sewn/sewn_curve, taken at sixteen places between two points.
struct SewnFit {
  double straight = 0.0;  // straight lines from one numbered point to the next
  double smooth = 0.0;    // splines through the points between two corners
  double dense = 0.0;     // the dense curves
  std::string where;      // of the first two the worst: "vamp 13 H, sew line 2"
  void add(const SewnFit& other);
};
inline constexpr double kSewnFit = 0.001;  // mm by which a distance may be told too high

// `worst`: distances up to these need not be told apart, which saves most
// of the search. Fails where the drawing does not have every line, notch,
// drill hole and text of the piece, with what is there and what should be.
Result<SewnFit> fit_of(const SewnPiece& drawn, const GradedPiece& graded, const SewnFit& worst = {});

}  // namespace lastwright
