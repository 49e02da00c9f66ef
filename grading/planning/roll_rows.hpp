// Whole rows on a roll: what pieces of one kind, size and width take of it.
#pragma once

#include "grading/planning/strip_pieces.hpp"

namespace lastwright {

// Of a pair, or of many.
struct RollPieces {
  int as_drawn = 0;  // pieces for the foot that the drawings show
  int mirrored = 0;  // for the other foot
  int either = 0;    // that serve both
};

// mm along the roll: the shortest stretch of the rows, cut off straight across before and behind, in which so
// many whole pieces lie. Both hands lie in one stretch where the rows mix them, else each in one of its own.
// Never less than the pieces take in proportion but for the part of a row; 0 for none.
double stretch_of(const StripRows& rows, const RollPieces& pieces);

}  // namespace lastwright
