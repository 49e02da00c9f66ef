// The drawing of one die: what it cuts, punches and marks, and its number.
#pragma once

#include "geometry/io/die_drawing.hpp"
#include "grading/dies/die_order.hpp"

namespace lastwright {

// `mirrored`: for the other foot; the text stays readable.
Sheet die_sheet(const PlannedDie& die, const DieOrderLine& line, bool mirrored);

}  // namespace lastwright
