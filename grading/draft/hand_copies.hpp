// Pieces that are drawn for the left and for the right.
#pragma once

#include <string>
#include <vector>

#include "grading/draft/draft_piece.hpp"

namespace lastwright {

struct HandCopy {
  std::string name;  // of the piece that is left out
  std::string of;
  double residual = 0.0;  // mm: the farthest that its mirror image misses the other
  // What is drawn in one of the two and not in the other: then none is left out.
  std::string odd;
};

// Takes out pieces that are the mirror image of another, lie apart from it, and whose names say no more than
// another hand: "insole left" and "insole right", "vamp" and "vamp-2". An inside and an outside quarter are
// two pieces. What is its own mirror image is no hand's copy, and what has other holes, nicks, lines or
// cut-outs in it is told and stays. The pieces' indices follow the style.
std::vector<HandCopy> take_hand_copies(std::vector<DraftPiece>& pieces, std::vector<PieceSpec>& style);

// Proposes of each that it is left out, or says why both stay. Whether one is left out.
bool tell_copies(const std::vector<HandCopy>& copies, std::vector<Proposed>& proposed);

}  // namespace lastwright
