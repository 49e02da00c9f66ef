#include "grading/planning/roll_rows.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lastwright {

namespace {

bool mixes_hands(LatticeKind kind) {
  return kind == LatticeKind::kMirrored || kind == LatticeKind::kMirroredHalfTurned;
}

enum class Which { kAll, kFirst, kSecond };

// Where the middles of one period lie along the roll, rising.
std::vector<double> middles(const StripRows& rows, Which which) {
  std::vector<double> at;
  for (const StripRow& row : rows.rows) {
    if (which == Which::kAll || row.second == (which == Which::kSecond))
      at.push_back(row.x - rows.period * std::floor(row.x / rows.period));
  }
  std::sort(at.begin(), at.end());
  return at;
}

// From `from`, which lies within the first period, to the middle of the last of so many pieces that lie there
// or behind it.
double reach(const std::vector<double>& at, double period, double from, int count) {
  if (count == 0) return 0.0;
  const auto first = std::lower_bound(at.begin(), at.end(), from) - at.begin();
  const auto last = static_cast<std::size_t>(first) + static_cast<std::size_t>(count) - 1;
  return at[last % at.size()] + period * static_cast<double>(last / at.size()) - from;
}

double shortest(const StripRows& rows, const std::vector<double>& first, int firsts,
                const std::vector<double>& second, int seconds) {
  double least = std::numeric_limits<double>::infinity();
  for (const std::vector<double>* starts : {&first, &second}) {
    for (const double from : *starts)
      least = std::min(least, std::max(reach(first, rows.period, from, firsts),
                                       reach(second, rows.period, from, seconds)));
  }
  return least + rows.length;
}

double of_like(const StripRows& rows, int count) {
  return count == 0 ? 0.0 : shortest(rows, middles(rows, Which::kAll), count, {}, 0);
}

}  // namespace

double stretch_of(const StripRows& rows, const RollPieces& pieces) {
  const bool both = pieces.as_drawn > 0 && pieces.mirrored > 0;
  if (both && mixes_hands(rows.kind)) {
    const std::vector<double> first = middles(rows, Which::kFirst);
    const std::vector<double> second = middles(rows, Which::kSecond);
    if (!first.empty() && !second.empty())
      return shortest(rows, first, pieces.as_drawn, second, pieces.mirrored) + of_like(rows, pieces.either);
  }
  return of_like(rows, pieces.as_drawn) + of_like(rows, pieces.mirrored) + of_like(rows, pieces.either);
}

}  // namespace lastwright
