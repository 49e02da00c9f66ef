#include "grading/redraw/place_pairs.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lastwright {

namespace {

using Pairs = std::vector<std::optional<std::size_t>>;

constexpr std::size_t kMostShifted = 300;   // places: each with each gives a shift, which is tried on all
constexpr std::size_t kMostAssigned = 300;  // of more, each takes the nearest that is left

std::optional<Pairs> by_shift(const std::vector<Vec2>& was, const std::vector<Vec2>& now, Vec2 shift,
                              double same) {
  Pairs pairs(was.size());
  std::vector<bool> taken(now.size(), false);
  std::size_t found = 0;
  for (std::size_t i = 0; i < was.size(); ++i) {
    for (std::size_t j = 0; j < now.size() && !pairs[i]; ++j) {
      if (taken[j] || distance(was[i] + shift, now[j]) > same) continue;
      pairs[i] = j;
      taken[j] = true;
      ++found;
    }
  }
  if (found < std::min(was.size(), now.size())) return std::nullopt;
  return pairs;
}

// All that moved together, as a row does on a strap drawn longer.
std::optional<Pairs> moved_together(const std::vector<Vec2>& was, const std::vector<Vec2>& now, double reach,
                                    double same) {
  const std::size_t fewer = std::min(was.size(), now.size());
  if (fewer < 2 || std::max(was.size(), now.size()) > kMostShifted) return std::nullopt;
  std::optional<Pairs> least;
  double by = reach;
  // Of the fewer any one has a partner; of the more the first may have none.
  const bool of_was = was.size() <= now.size();
  for (std::size_t k = 0; k < (of_was ? now.size() : was.size()); ++k) {
    const Vec2 shift = of_was ? now[k] - was[0] : now[0] - was[k];
    if (norm(shift) > by) continue;
    std::optional<Pairs> pairs = by_shift(was, now, shift, same);
    if (!pairs) continue;
    by = norm(shift);
    least = std::move(pairs);
  }
  return least;
}

// The assignment of least cost, by shortest augmenting paths: of the square matrix in which what stays alone
// costs `reach`.
Pairs moved_least(const std::vector<Vec2>& was, const std::vector<Vec2>& now, double reach) {
  const std::size_t n = std::max(was.size(), now.size());
  const auto cost = [&](std::size_t i, std::size_t j) {
    return i < was.size() && j < now.size() ? std::min(reach, distance(was[i], now[j])) : reach;
  };
  constexpr double kFar = std::numeric_limits<double>::infinity();  // nothing is known yet
  std::vector<double> row(n + 1, 0.0);
  std::vector<double> column(n + 1, 0.0);
  std::vector<std::size_t> row_of(n + 1, n);  // of each column; the last column starts every path
  for (std::size_t i = 0; i < n; ++i) {
    std::vector<double> least(n + 1, kFar);
    std::vector<std::size_t> before(n + 1, n);
    std::vector<bool> seen(n + 1, false);
    std::size_t at = n;
    row_of[n] = i;
    do {
      seen[at] = true;
      const std::size_t from = row_of[at];
      std::size_t next = n;
      double step = kFar;
      for (std::size_t j = 0; j < n; ++j) {
        if (seen[j]) continue;
        const double here = cost(from, j) - row[from] - column[j];
        if (here < least[j]) {
          least[j] = here;
          before[j] = at;
        }
        if (least[j] < step) {
          step = least[j];
          next = j;
        }
      }
      for (std::size_t j = 0; j <= n; ++j) {
        if (seen[j]) {
          row[row_of[j]] += step;
          column[j] -= step;
        } else {
          least[j] -= step;
        }
      }
      at = next;
    } while (row_of[at] != n);
    for (; at != n; at = before[at]) row_of[at] = row_of[before[at]];
    row_of[n] = n;
  }
  Pairs pairs(was.size());
  for (std::size_t j = 0; j < now.size(); ++j) {
    const std::size_t i = row_of[j];
    if (i < was.size() && distance(was[i], now[j]) <= reach) pairs[i] = j;
  }
  return pairs;
}

Pairs nearest_left(const std::vector<Vec2>& was, const std::vector<Vec2>& now, double reach) {
  Pairs pairs(was.size());
  std::vector<bool> taken(now.size(), false);
  for (std::size_t i = 0; i < was.size(); ++i) {
    for (std::size_t j = 0; j < now.size(); ++j) {
      const double off = distance(was[i], now[j]);
      if (taken[j] || off > reach || (pairs[i] && off >= distance(was[i], now[*pairs[i]]))) continue;
      pairs[i] = j;
    }
    if (pairs[i]) taken[*pairs[i]] = true;
  }
  return pairs;
}

}  // namespace

std::vector<std::optional<std::size_t>> pair_places(const std::vector<Vec2>& was,
                                                    const std::vector<Vec2>& now, double reach, double same) {
  if (was.empty() || now.empty()) return Pairs(was.size());
  if (auto together = moved_together(was, now, reach, same)) return *std::move(together);
  if (std::max(was.size(), now.size()) > kMostAssigned) return nearest_left(was, now, reach);
  return moved_least(was, now, reach);
}

}  // namespace lastwright
