// What stays where it is drawn while other pieces are laid on it.
#pragma once

#include <cstddef>
#include <set>
#include <vector>

#include "grading/draft/draft_piece.hpp"

namespace lastwright {

struct LayingStart {
  std::vector<std::size_t> lying;
  std::set<std::size_t> apart;  // what may move
};

// The group with most pieces stays, of equals the largest in area; all single pieces of an upper beside it
// may move. Nothing, where there is no upper.
LayingStart first_start(const std::vector<DraftPiece>& pieces);

// By the same order, with each group in parts: only pieces that lie along each other's outlines are one, and
// not those that merely lie across each other on the sheet. Without the first.
std::vector<LayingStart> other_starts(const std::vector<DraftPiece>& pieces, const LayingStart& first);

// Whether what lies now, and all that lies on it, shows how it stands on the last.
bool stands(const std::vector<DraftPiece>& pieces, const LayingStart& start);

}  // namespace lastwright
