// A facing, which its name makes a lining, though the uppers are drawn to close only with it.
#pragma once

#include <vector>

#include "grading/draft/draft_piece.hpp"
#include "grading/draft/draft_seams.hpp"

namespace lastwright {

// One proposal for each piece that is called a facing and no lining and lies side by side with two uppers or
// more, on edges of theirs that no other upper lies at: where it is a lining, they have nothing there to be
// sewn to. Its layer stays: only whoever drew it knows.
std::vector<Proposed> facings_that_close(const std::vector<DraftPiece>& pieces,
                                         const std::vector<DraftSeam>& seams);

}  // namespace lastwright
