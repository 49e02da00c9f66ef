// Where the places of a style that coordinates state are now, by what pieces say of them.
#pragma once

#include <string>

#include "grading/redraw/redraw_work.hpp"

namespace lastwright {

// Points of formes and places of pieces go where the votes put them, or with a mark that was drawn there; the
// others stay, and those of redrawn pieces and formes are told. Votes that differ are refused. After all new
// pieces are taken.
void place_points(RedrawWork& work);

// Corners of pieces that are laid onto their forme say where its points are only once they lie there: so far
// as such a corner has moved, its point moves too, which may lay the piece anew. False: a Problem was added.
// After the edits are put into the text.
bool place_laid(RedrawWork& work);

}  // namespace lastwright
