// For which foot pieces are drawn whose names say the inside or the outside.
#pragma once

#include <vector>

#include "grading/draft/draft_forme.hpp"
#include "grading/draft/draft_piece.hpp"

namespace lastwright {

// "drawn_foot" of each handed piece of an upper's forme that states none and whose name decides it
// (grading/pieces/named_side), as likely. Where the seams of the style then contradicted each other no foot
// is put in, and that is said. Preconditions: hands, layers and seams are stated.
void propose_drawn_feet(const std::vector<DraftPiece>& pieces, const std::vector<DraftForme>& formes,
                        StyleSpec& style, std::vector<Proposed>& proposed);

}  // namespace lastwright
