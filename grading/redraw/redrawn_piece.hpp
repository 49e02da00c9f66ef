// One piece of a new drawing: its corners found again, and what it says of other places.
#pragma once

#include "grading/redraw/piece_twins.hpp"
#include "grading/redraw/redraw_work.hpp"

namespace lastwright {

// Finds the corners of a piece on its new outline, and all other places of the style that were put on the old
// one. Each corner votes for its own place or for the point of the forme that it names, each other place has
// the outline's vote. A corner that is not found is refused. Precondition: the piece is in the new drawing.
void take_piece(RedrawWork& work, const PieceTwin& twin);

}  // namespace lastwright
