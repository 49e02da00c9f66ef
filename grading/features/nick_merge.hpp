// Nicks made part of the cut line, for cutters that follow one line.
#pragma once

#include <cstddef>
#include <utility>
#include <vector>

#include "grading/pieces/graded_piece.hpp"

namespace lastwright {

// Why a nick was not merged.
enum class NickApart {
  kSlit,          // a cut there and back has no width
  kOffCutLine,    // its ends do not lie on the cut line, or in the wrong order
  kMeetsNick,     // it runs into a nick merged before it
  kMeetsCutLine,  // it meets the cut line again, at a corner or across something narrow
};

struct NickedOutline {
  ClosedArcPath path;               // the cut line, in and out through each merged nick
  std::vector<std::size_t> merged;  // indices of GradedPiece::lines, ascending
  // The nicks that stay lines of their own, and why: with the merged ones, all there are.
  std::vector<std::pair<std::size_t, NickApart>> apart;
};

// Merges all nicks that can be: merged, the others would make the cut line cross itself.
NickedOutline merge_nicks(const GradedPiece& piece);

}  // namespace lastwright
