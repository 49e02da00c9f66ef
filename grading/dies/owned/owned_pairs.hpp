// Dies that are there already and were found one by one, put together where they are left and right of a
// pair.
#pragma once

#include "grading/dies/plan/die_candidates.hpp"

namespace lastwright {

// Two drawings this near after mirroring one are the two dies of a pair: mm, well below what a rule is bent
// to (see kMirrorImage).
inline constexpr Millimetres kSamePair{0.05};

// Whether two shapes that lie on each other are one die within kSamePair, outline and work.
bool same_die(const DieShape& one, const DieShape& other);

// Left and right that were found by themselves become one pair, led by the drawn foot. `places`: how many
// candidates stand before the dies that are there.
void join_pairs(std::size_t places, PieceCandidates& result);

}  // namespace lastwright
