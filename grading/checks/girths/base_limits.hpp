// How far a base may be from what the table asks of it, whether it is drawn or a last.
#pragma once

#include <algorithm>

#include "grading/style/style.hpp"

namespace lastwright {

inline constexpr double kLeastBaseLimit =
    1.0;  // mm: what a ruler on paper tells, whatever the percent come to

// mm. `follows_scale`: the measure stands for the size itself. `asked`: by the table; `off`: found less
// asked.
inline double base_limit_of(const StyleSpec& style, bool follows_scale, double asked, double off) {
  constexpr double kOwnPercent = 2.0;  // a tape round the last and a line on its flat copy; 1.6 mm of a tread
  // A stick has the toe that the last has beyond its size, 20 mm on the most pointed; and is shorter only as
  // the bottom's copy of a sprung last is.
  constexpr double kLongerPercent = 8.0;
  constexpr double kShorterPercent = 5.0;
  double percent = style.base_limit.value_or(kOwnPercent);
  if (!style.base_limit && follows_scale) percent = off > 0.0 ? kLongerPercent : kShorterPercent;
  return std::max(kLeastBaseLimit, percent / 100.0 * asked);
}

}  // namespace lastwright
