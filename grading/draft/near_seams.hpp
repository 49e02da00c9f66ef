// Edges that would be sewn to each other if they lay on each other, and run beside each other instead.
#pragma once

#include <vector>

#include "grading/draft/draft_forme.hpp"
#include "grading/draft/draft_piece.hpp"
#include "grading/draft/draft_seams.hpp"

namespace lastwright {

inline constexpr double kNearSeam = 2.0;  // mm: what runs farther apart was drawn apart

// One proposal for each two edges of an upper that run beside each other over most of the shorter one,
// farther apart than what is taken as a seam and by kNearSeam at most, as find_seams would want them to lie:
// each piece on its side, in one layer; backs of two that are drawn as one; top lines of an upper and its
// lining. Not where both are in a seam, nor what is told of already (tell_left_raw).
void tell_near_seams(const std::vector<DraftPiece>& pieces, const std::vector<DraftForme>& formes,
                     const std::vector<DraftSeam>& seams, std::vector<Proposed>& proposed);

}  // namespace lastwright
