// Dies that are there already, as candidates of a piece.
//
// An owned die is a drawing: nobody says which of its segments is which edge,
// which nicks tell a size, or, for a drawing by itself, which foot it is for.
// All this is found by laying it on the sizes and widths of the piece.
//
// A die that is an outline of the grade, of a size and width or half way between two, is that outline: it
// serves what that serves, and its seams are that one's. Of any other die the seams are judged by how much
// longer its edges are cut than those of the nearest size and width.
//
// A die of an order is known again also where its piece has been moved or drawn the other way round since:
// what its order called as drawn is the mirrored one then, and the die cuts what it cut.
//
// Nicks: a die whose marks are those of a size without its size marks may
// serve any size within tolerance, as any tied die. A die that has size marks
// too serves only sizes and widths that want the same ones at the same places.
#pragma once

#include "grading/dies/plan/die_candidates.hpp"

namespace lastwright {

struct OwnedPiece {
  const DiePlanInput* input = nullptr;
  std::size_t piece = 0;
  std::vector<const DieShape*> demands;
  PieceTolerances tolerances;
  ServeOptions options;
};
// Fills in what `result` holds behind the places. Its places must be done. Fails when an outline cannot be
// made.
Status add_owned(const OwnedPiece& of, PieceCandidates& result);

}  // namespace lastwright
