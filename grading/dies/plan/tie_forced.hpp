// Ties that the user forces: sizes and widths that one die of each of several pieces serves. Which of them
// can be kept, jointly over all mates, and why the others cannot.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "grading/dies/plan/tie_solve.hpp"

namespace lastwright {

struct ForcedTie {
  std::vector<std::size_t> pieces;
  // Demands that one die of each of these pieces serves; two or more in each set. No demand of a piece is in
  // two sets, of this tie or of others.
  std::vector<std::vector<std::uint32_t>> sets;
};

enum class ForcedTrouble {
  kNotTied,    // the piece may not be tied at all
  kTooling,    // the set lies in two tooling groups of the piece
  kTolerance,  // no die of the piece serves the whole set
  kSeam,       // its mates cannot match at one seam
  kTogether,   // nor at several seams together, or beside the forced ties before it
  kNotFound,   // nothing proves it impossible, and no choice was found
};

// A set that is not kept.
struct ForcedMiss {
  std::size_t tie = 0;
  std::size_t set = 0;
  ForcedTrouble trouble = ForcedTrouble::kNotFound;
  std::size_t piece = 0;  // whose; of a seam, the piece of the tie
  std::size_t seam = 0;
  std::uint32_t demand = 0;  // where
  // kTolerance: the tolerances, this many times as wide, are enough; infinity: not known. kSeam: how far the
  // mates are from matching at best, mm.
  double value = 0.0;
};

// Puts into the problem every set that can be kept, one after the other, with choices of all pieces that
// match
// (`forced` and `safe`); returns those that cannot. What is put in stays when it is called for other sets.
std::vector<ForcedMiss> force_ties(TieProblem& problem, const std::vector<ForcedTie>& ties);

}  // namespace lastwright
