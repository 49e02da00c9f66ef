// Cuts everything that overlaps out of a closed run of pieces: what is left bounds the points it winds round.
#pragma once

#include <vector>

#include "geometry/offset/moved.hpp"
#include "geometry/result.hpp"
#include "geometry/units.hpp"

namespace lastwright {

struct TracedContour {
  std::vector<MovedPiece> pieces;
  double area = 0.0;  // above 0: an outer contour; below: the edge of a pocket
};

// All contours of the region where the winding number of the run is above 0, largest area first. The numbers
// of the region decide alone, so it does not matter in which order or how often the run passes anywhere. A
// Problem when rounding leaves a contour open or lets numbers contradict each other: the caller may try again
// with distances changed a little, or with another `aside`, which says how far off its middle a part is asked
// what lies beside it (closer where something else is that near).
Result<std::vector<TracedContour>> positive_region(const std::vector<MovedPiece>& run, Millimetres aside);

// Whether two pieces are one and the same.
bool same_course(const ArcSegment& a, const ArcSegment& b);

// Pieces that follow each other on one line or circle become one again. Leaves the order and the ends.
std::vector<MovedPiece> merged(const std::vector<MovedPiece>& pieces, bool closed);

}  // namespace lastwright
