// Names the pieces whose place on their forme nothing proves (grading/pieces/place/place_proof).
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/pieces/bound_piece.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// One finding for each forme: how many of its pieces might lie elsewhere and nobody would see. It cannot
// fail; with any it is doubtful, and its note names them and says what would prove their place.
std::vector<StyleFinding> check_places(const StyleSpec& style, const std::vector<const BoundPiece*>& pieces);

}  // namespace lastwright
