// The demo last: a left last made from formulas, for the demo style and for tests. Invented, but built as a
// last maker would read one: a sharp feather edge, an oblique tread, a toe that swings to the inside, a wall
// at the toe, a heel that bulges over the seat, a cone that narrows to a tilted plane top.
//
// The upper is a skirt: its lines run from the featherline up to the rim of
// the top plane, so that heel and toe are smooth and no surface has a pole.
// Two faces meet at the heel and toe middle lines; bottom and top are trimmed.
#pragma once

#include <string>

#include "geometry/result.hpp"
#include "geometry/solid/body.hpp"
#include "grading/lasts/axis_map.hpp"

namespace lastwright {

struct DemoLast {
  double length = 279.4;
  double heel_height = 22.0;
  double toe_spring = 9.0;
  double steeper_seat = 0.0;  // degrees by which the seat falls more from back to front
  double chisel = 0.0;  // 1: a toe that is square from above and thin from the side
  // Applied to the formulas before fitting, to bring the girths where a table wants them: first the motion
  // that stands the last, then the map. Null: neither.
  const AxisMap* adjust = nullptr;
  Motion standing;
  double fit = 1e-3;  // mm: how closely the splines follow the formulas
};

// Faces, edges and vertices; no triangulation (the kernel makes one when the written file is read).
Body make_demo_last(const DemoLast& recipe);

// The demo last of the demo style: base English 8 F of its table, every driven measure within 0.005 mm of it.
Result<std::string> demo_last_step();

}  // namespace lastwright
