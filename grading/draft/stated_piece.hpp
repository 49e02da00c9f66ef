// A piece of a draft as the style states it.
#pragma once

#include <vector>

#include "grading/draft/draft_counts.hpp"
#include "grading/draft/draft_forme.hpp"
#include "grading/draft/draft_piece.hpp"

namespace lastwright {

struct LaidDraft {
  const std::vector<DraftPiece>& pieces;
  const std::vector<DraftForme>& formes;
  const std::vector<std::size_t>& order_laid;  // of pieces: those that were laid, the first one first
};

// Forme, corners, edges, fold, hand, layer, drawn marks and number of `piece`, one of the draft's, go into
// `spec`. A piece that was laid gets where it lies: by the longest edge that it has in common with a piece
// that lay before it, else by its corners; its corners are stated where they are drawn.
void state_piece(const LaidDraft& draft, const DraftPiece& piece, const DraftCount& count, PieceSpec& spec,
                 std::vector<Proposed>& proposed);

}  // namespace lastwright
