// Whole rows on a roll: what pieces of one kind, size and width take of it.
#pragma once

#include <vector>

#include "grading/planning/strip_pieces.hpp"

namespace lastwright {

// Of a pair, or of many.
struct RollPieces {
  int as_drawn = 0;  // pieces for the foot that the drawings show
  int mirrored = 0;  // for the other foot
  int either = 0;    // that serve both
  bool operator==(const RollPieces&) const = default;
};

// The pieces of so many pairs.
RollPieces times(const RollPieces& of_pair, int pairs);

// mm along the roll: the shortest stretch of the rows, cut off straight across before and behind, in which so
// many whole pieces lie. Both hands lie in one stretch where the rows mix them, else each in one of its own.
// Never less than the pieces take in proportion but for the part of a row; 0 for none.
double stretch_of(const StripRows& rows, const RollPieces& pieces);

// Rows of one piece on a roll.
struct RollRows {
  StripRows densest;
  std::vector<StripRows> others;  // that may be shorter for few pieces; by the boxes both hands share them
};

// Those of `others` that are the shortest for some number of pieces, and rows by the boxes, which are always.
std::vector<StripRows> worth_keeping(const StripRows& densest, const std::vector<StripRows>& others,
                                     const StripRows& boxes);

// A stretch of the roll, cut off straight across before and behind.
struct RollPart {
  StripRows rows;
  RollPieces pieces;
  double length = 0.0;  // mm
  int count = 1;        // of such stretches
};

struct RollLay {
  double length = 0.0;  // mm of all stretches
  std::vector<RollPart> parts;
};

// Stretches of any of the rows, one behind the other, in which the pieces of so many pairs lie: the shortest
// that such stretches come to. Never longer than rows by the boxes that both hands share; never longer for
// fewer pairs; two numbers of pairs by themselves never shorter than both together.
// The last up to 256 pairs: of more, one long stretch of each hand and the shortest of up to 256 pairs beside
// it.
RollLay laid_on_roll(const RollRows& rows, const RollPieces& of_pair, int pairs);

}  // namespace lastwright
