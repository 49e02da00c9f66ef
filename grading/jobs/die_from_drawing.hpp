// The die that a drawing shows. Every entity of the drawing is used, left out by name as its layer does not
// cut, or a Problem with its place: no cutting edge is dropped in silence.
#pragma once

#include <string>
#include <vector>

#include "geometry/io/drawing.hpp"
#include "geometry/result.hpp"
#include "grading/dies/die.hpp"

namespace lastwright {

struct DrawnDie {
  DieShape shape;
  // What lies on layers that are neither cut nor known of this program's drawings not to be: "2 LINE on layer
  // FRAME".
  std::vector<std::string> left_out;
  std::size_t used = 0;        // entities that make up the die, or whose text may be read
  std::size_t named_away = 0;  // entities on layers that do not cut; used + named_away: all that were read
};

// Layers CUT, CUT_OUT, HOLE, NICK and PRICK as this program writes them; in a drawing with nothing on a CUT
// layer the largest closed contour is the outline, and closed contours and circles are cut-outs and holes on
// whatever layer, but for those that this program does not cut. A closed line that is round is a hole, and a
// circle may be the outline.
//
// Refuses, with its layer and place: an outline that does not close (and by how much), none or several; an
// open line, a point or what is not read on a layer that cuts; and splines, as a die has lines and arcs.
Result<DrawnDie> die_from_drawing(const Drawing& drawing);

}  // namespace lastwright
