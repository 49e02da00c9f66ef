// Pieces of an upper to which no other is drawn: a tongue.
#pragma once

#include <cstddef>
#include <set>
#include <vector>

#include "grading/draft/draft_forme.hpp"

namespace lastwright {

// A tongue lies across the opening of an upper and rises above its top line, without being a part of either.
// By its name; and so is, whatever its name, what is no part of the lower edge, has no edge beside another
// piece's, and lies for the most part over others. Never all pieces of the forme. Indices of the draft's.
std::set<std::size_t> loose_pieces(const std::vector<DraftPiece>& pieces, const DraftForme& forme);

}  // namespace lastwright
