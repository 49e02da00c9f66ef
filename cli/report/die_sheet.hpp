// The drawing of one die: what it cuts, punches and marks, and what is written to whoever makes it.
#pragma once

#include "geometry/io/die_drawing.hpp"
#include "grading/dies/order/die_order.hpp"

namespace lastwright {

// What is cut, punched and nicked; its number and hand inside (layer TEXT), what the order says of it below
// (TEXT), the proposed joint and bridges (GUIDE). Nothing on TEXT and GUIDE is cut. `mirrored`: the other
// foot's die; the texts stay readable.
Sheet die_sheet(const PlannedDie& die, const DieOrder& order, const DieOrderLine& line, bool mirrored);

// The lines written below the drawing.
std::vector<std::string> die_words(const PlannedDie& die, const DieOrder& order, const DieOrderLine& line,
                                   bool mirrored);

}  // namespace lastwright
