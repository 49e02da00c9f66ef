// Dies a works has already: from an earlier order's folder, or as plain DXF drawings.
#pragma once

#include <string>
#include <vector>

#include "geometry/io/drawing.hpp"
#include "grading/dies/die_plan.hpp"

namespace lastwright {

// `path`: a folder that holds die-order.json, that file itself, or one DXF drawing of one die. A drawing
// outside an order is one die, of any piece and either foot, named for its file, with the numbers that its
// texts show in `shown`; an order's line is the dies that it ordered.
Result<std::vector<OwnedDie>> read_owned_dies(const std::string& path);

// The one die a drawing shows: layers CUT, CUT_OUT, HOLE, NICK and PRICK as this
// program writes them; in a drawing without a CUT layer the largest closed contour is
// the outline and closed contours and circles inside it are cut-outs and holes.
// Refuses drawings with no outline or several, and splines: a die has lines and arcs.
Result<DieShape> die_from_drawing(const Drawing& drawing);

}  // namespace lastwright
