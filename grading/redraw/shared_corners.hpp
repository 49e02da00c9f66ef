// Places at which corners of several pieces lay, and lie apart now.
#pragma once

#include <string>
#include <vector>

#include "grading/pieces/bound_piece.hpp"

namespace lastwright {

// One sentence for each place of a forme at which corners of pieces met and no longer do, with the places of
// all of them now, however each piece is laid. `before`, `after`: the same pieces, in one order, as they lie
// on their formes.
std::vector<std::string> parted_corners(const std::vector<BoundPiece>& before,
                                        const std::vector<BoundPiece>& after);

}  // namespace lastwright
