// The measures of a style, found on its scale.
#pragma once

#include "grading/measures/measure_table.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// A measure as the style states it, its size labels found on the scale. Places of problems are pointers below
// the measure: "/breaks/0/from".
Result<Measure> bind_measure(const MeasureSpec& spec, const Scale& scale, const Size& base);

// The table of a style. Refuses a value that is not above 0
// anywhere in the run. Problems point into the style file.
Result<MeasureTable> measure_table(const StyleSpec& style, const Scale& scale, const Ladder& ladder);

}  // namespace lastwright
