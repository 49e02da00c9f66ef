// The middle one of some values, which a few wild ones do not move; of an even number the upper of the two.
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

namespace lastwright {

// Precondition: there are values.
inline double middle_value(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

}  // namespace lastwright
