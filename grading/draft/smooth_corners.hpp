// Corners of outlines that have none of their own: smooth soles, and straps with rounded ends.
#pragma once

#include <string>
#include <vector>

#include "grading/draft/draft_forme.hpp"
#include "grading/draft/draft_piece.hpp"

namespace lastwright {

// A smooth sole gets its corners at its ends, and the
// insole at its joints too, whatever its curves begin at.
void set_sole_corners(std::vector<DraftPiece>& pieces, const std::vector<DraftForme>& formes);

// A strap's sides end where its straight lines do, also where they run on into a rounded end. What reading
// guessed of the corners of an end that is drawn in short lines is taken back from `guesses`, and the end
// proposed.
void set_strap_corners(std::vector<DraftPiece>& pieces, const std::vector<DraftForme>& formes,
                       std::vector<std::string>& guesses, std::vector<Proposed>& proposed);

}  // namespace lastwright
