// What the nicks that tell size and width say: a die for several bears them where they are the same, and
// true, of all that it serves.
#pragma once

#include <cstdint>
#include <vector>

#include "grading/dies/plan/die_candidates.hpp"
#include "grading/dies/plan/plan_input.hpp"

namespace lastwright {

// By feature of the piece that tells one of them: its marks there. Empty: no feature does.
using SizeTold = std::vector<std::vector<int>>;
SizeTold told_at(const DiePlanInput& input, std::size_t piece, const SizeWidth& at);

// Whether the same is told in all of these demands; true of one.
bool told_alike(const DiePlanInput& input, std::size_t piece, const std::vector<std::uint32_t>& demands);

// Whether a new die of this candidate bears its nicks that tell size or width: all that it serves have the
// same ones, and each of these is within the tolerance of marks where the die has it.
bool bears_size_marks(const DiePlanInput& input, std::size_t piece, const PieceCandidates& candidates,
                      std::size_t c, const std::vector<std::uint32_t>& serves);

}  // namespace lastwright
