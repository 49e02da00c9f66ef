// A plan of reading as a user writes it: "sizes 7 8 9, widths
// E F, pairs 2, gauges 2, spread 0.4 mm, step 0.5 mm".
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "grading/jobs/load_style.hpp"
#include "grading/readings/plan_advice.hpp"

namespace lastwright {

// Sizes and widths are those of the style's run; widths default to its base width, pairs to 2, gauges to 1.
// `measures`: names; empty: all. Refuses words it does not know and more than 2000 lasts.
Result<ReadingPlanOptions> parse_reading_plan(std::string_view text, const LoadedStyle& style,
                                              const std::vector<std::string>& measures);

}  // namespace lastwright
