// What one width of a draft's run to the next makes of its measures, where that is not one step of the
// ladder.
#pragma once

#include <string>
#include <vector>

#include "grading/sizes/scale.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// One sentence where there are such widths: the steps between each two, what lies between them on the ladder,
// and what each measure grows by. Empty where every width is one step from the next. Precondition: the ladder
// has the widths of the run.
std::string width_gaps_told(const Ladder& ladder, const StyleSpec& style);

}  // namespace lastwright
