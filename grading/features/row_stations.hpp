// Where the members of a row lie on a line of a given length.
#pragma once

#include <optional>
#include <vector>

#include "geometry/result.hpp"
#include "grading/style/feature_spec.hpp"

namespace lastwright {

// Lengths along the course, ascending. `count`: as the size has it; nothing: as many as fit the pitch.
// Without a pitch the first and last lie exactly on the margins and the rest evenly between; one alone lies
// in the middle. With a pitch neighbours are exactly that far apart, and the row keeps at least the margins.
// A row that does not fit is a Problem with the length it needs and the length there is.
Result<std::vector<double>> row_stations(double length, Millimetres start, Millimetres end,
                                         const RowSpacing& spacing, std::optional<int> count);

}  // namespace lastwright
