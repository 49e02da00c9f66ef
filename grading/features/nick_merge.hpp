// Nicks made part of the cut line, for cutters that follow one line.
#pragma once

#include <cstddef>
#include <vector>

#include "grading/pieces/graded_piece.hpp"

namespace lastwright {

struct NickedOutline {
  ClosedArcPath path;               // the cut line, in and out through each merged nick
  std::vector<std::size_t> merged;  // indices of GradedPiece::lines, ascending
};

// Merges the nicks whose both ends lie on the cut line. Slits stay apart: a cut there and back has no width.
// So do nicks that run into a nick before them or meet the cut line again, at a corner or across something
// narrow: merged they would make it cross itself.
NickedOutline merge_nicks(const GradedPiece& piece);

}  // namespace lastwright
