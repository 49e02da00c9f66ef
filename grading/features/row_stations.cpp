#include "grading/features/row_stations.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

std::vector<double> even(double first, double pitch, int count) {
  std::vector<double> stations;
  stations.reserve(static_cast<std::size_t>(count));
  for (int i = 0; i < count; ++i) stations.push_back(first + i * pitch);
  return stations;
}

}  // namespace

Result<std::vector<double>> row_stations(double length, Millimetres start, Millimetres end,
                                         const RowSpacing& spacing, std::optional<int> count) {
  const double room = length - start.value() - end.value();
  const double rounding = tolerance::kSamePoint.value();
  constexpr double kMost = 10000;  // of one row: beyond it the pitch is a slip of the pen
  if (!spacing.pitch) {
    const int n = count.value_or(1);
    if (room < -rounding || (n > 1 && room < rounding))
      return Problem{Trouble::kGeometry,
                     "the margins leave no room for the row",
                     {},
                     start.value() + end.value(),
                     length};
    if (n == 1) return std::vector<double>{start.value() + 0.5 * room};
    std::vector<double> stations = even(start.value(), room / (n - 1), n);
    stations.back() = length - end.value();
    return stations;
  }
  const double pitch = spacing.pitch->value();
  if (!(pitch > 0.0) || std::abs(room) / pitch > kMost)
    return Problem{Trouble::kBudget, "the pitch is far too small for this row", {}, pitch, {}};
  const int fits = room < -rounding ? 0 : 1 + static_cast<int>(std::floor((room + rounding) / pitch));
  if (!count && spacing.fill && fits > 0) {
    const int gaps = static_cast<int>(std::lround(room / pitch));
    if (gaps < 1) return std::vector<double>{start.value() + 0.5 * room};
    return even(start.value(), room / gaps, gaps + 1);
  }
  const int n = count.value_or(fits);
  if (n < 1 || n > fits) {
    return Problem{Trouble::kGeometry,
                   "the row does not fit between its margins: length it needs, length there is",
                   {},
                   start.value() + end.value() + std::max(0, n - 1) * pitch,
                   length};
  }
  const double spare = room - (n - 1) * pitch;
  const double share = spacing.anchor == RowAnchor::kStart ? 0.0
                       : spacing.anchor == RowAnchor::kEnd ? 1.0
                                                           : 0.5;
  return even(start.value() + share * spare, pitch, n);
}

}  // namespace lastwright
