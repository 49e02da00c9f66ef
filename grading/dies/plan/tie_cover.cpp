#include "grading/dies/plan/tie_cover.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <queue>
#include <unordered_map>

namespace lastwright {

namespace {

constexpr double kRounding = 1e-7;  // of sums of a few hundred prices

using Bits = std::vector<std::uint64_t>;

struct BitsHash {
  std::size_t operator()(const Bits& bits) const {
    std::uint64_t h = 1469598103934665603u;
    for (const std::uint64_t word : bits) {
      h ^= word;
      h *= 1099511628211u;
      h ^= h >> 29;
    }
    return static_cast<std::size_t>(h);
  }
};

bool has(const Bits& bits, std::size_t i) {
  return (bits[i / 64] >> (i % 64) & 1u) != 0;
}

// A column whose rows are all in a column that costs no more is never needed.
std::vector<std::uint32_t> undominated(const std::vector<CoverColumn>& columns,
                                       const std::vector<Bits>& bits) {
  std::vector<std::uint32_t> order;
  for (std::uint32_t c = 0; c < columns.size(); ++c) {
    if (!columns[c].rows.empty()) order.push_back(c);
  }
  std::stable_sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) {
    return columns[a].rows.size() > columns[b].rows.size();
  });
  std::vector<std::uint32_t> kept;
  for (const std::uint32_t c : order) {
    const bool beaten = std::any_of(kept.begin(), kept.end(), [&](std::uint32_t k) {
      if (columns[k].cost > columns[c].cost) return false;
      for (std::size_t w = 0; w < bits[c].size(); ++w) {
        if ((bits[c][w] & ~bits[k][w]) != 0) return false;
      }
      return true;
    });
    if (!beaten) kept.push_back(c);
  }
  std::sort(kept.begin(), kept.end());
  return kept;
}

// Costs that are whole multiples of one number let a bound
// be rounded up to the next multiple. 0 when they are not.
double common_step(const std::vector<CoverColumn>& columns) {
  double step = std::numeric_limits<double>::infinity();
  for (const CoverColumn& column : columns) {
    if (column.cost > 0.0) step = std::min(step, column.cost);
  }
  if (!std::isfinite(step)) return 0.0;
  for (const CoverColumn& column : columns) {
    const double times = column.cost / step;
    if (std::abs(times - std::round(times)) > 1e-12) return 0.0;
  }
  return step;
}

double rounded_up(double bound, double step) {
  return step > 0.0 ? std::ceil(bound / step - kRounding) * step : bound - kRounding;
}

// Cheapest price per newly served row first; then what has become superfluous goes.
std::vector<std::uint32_t> greedy(std::size_t rows, const std::vector<CoverColumn>& columns,
                                  const std::vector<std::uint32_t>& pool) {
  std::vector<int> served(rows, 0);
  std::vector<std::uint32_t> chosen;
  for (std::size_t left = rows; left > 0;) {
    double best = std::numeric_limits<double>::infinity();
    std::uint32_t pick = 0;
    for (const std::uint32_t c : pool) {
      const auto fresh = std::count_if(columns[c].rows.begin(), columns[c].rows.end(),
                                       [&](auto r) { return served[r] == 0; });
      if (fresh > 0 && columns[c].cost / static_cast<double>(fresh) < best) {
        best = columns[c].cost / static_cast<double>(fresh);
        pick = c;
      }
    }
    chosen.push_back(pick);
    for (const std::uint32_t r : columns[pick].rows) left -= served[r]++ == 0 ? 1u : 0u;
  }
  for (std::size_t i = 0; i < chosen.size();) {
    const std::vector<std::uint32_t>& of = columns[chosen[i]].rows;
    if (columns[chosen[i]].cost > 0.0 &&
        std::all_of(of.begin(), of.end(), [&](auto r) { return served[r] > 1; })) {
      for (const std::uint32_t r : of) --served[r];
      chosen.erase(chosen.begin() + static_cast<std::ptrdiff_t>(i));
    } else {
      ++i;
    }
  }
  std::sort(chosen.begin(), chosen.end());
  return chosen;
}

// Raises each price as far as the columns of its row allow.
// Keeps the prices feasible and never lowers the sum.
void raise(std::vector<double>& prices, const std::vector<CoverColumn>& columns,
           const std::vector<std::vector<std::uint32_t>>& columns_of, std::vector<double>& slack) {
  std::vector<std::size_t> order(prices.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::stable_sort(order.begin(), order.end(),
                   [&](auto a, auto b) { return columns_of[a].size() < columns_of[b].size(); });
  for (const std::size_t r : order) {
    double room = std::numeric_limits<double>::infinity();
    for (const std::uint32_t c : columns_of[r]) room = std::min(room, slack[c]);
    if (!std::isfinite(room) || room <= 0.0) continue;
    prices[r] += room;
    for (const std::uint32_t c : columns_of[r]) slack[c] -= room;
  }
  (void)columns;
}

// Shrinks prices column by column until no column is overpaid.
std::vector<double> made_feasible(std::vector<double> prices, const std::vector<CoverColumn>& columns,
                                  const std::vector<std::vector<std::uint32_t>>& columns_of) {
  for (double& price : prices) price = std::max(0.0, price);
  std::vector<double> factor(prices.size(), 1.0);
  for (const CoverColumn& column : columns) {
    double sum = 0.0;
    for (const std::uint32_t r : column.rows) sum += prices[r];
    if (sum <= column.cost) continue;
    for (const std::uint32_t r : column.rows) factor[r] = std::min(factor[r], column.cost / sum);
  }
  for (std::size_t r = 0; r < prices.size(); ++r) prices[r] *= factor[r];
  std::vector<double> slack;
  for (const CoverColumn& column : columns) {
    double sum = 0.0;
    for (const std::uint32_t r : column.rows) sum += prices[r];
    slack.push_back(std::max(0.0, column.cost - sum));
  }
  raise(prices, columns, columns_of, slack);
  return prices;
}

struct CoverNode {
  double estimate;
  double cost;
  std::uint32_t state;
  bool operator<(const CoverNode& other) const {  // the queue's top is the least estimate, then the deepest
    if (estimate != other.estimate) return estimate > other.estimate;
    if (cost != other.cost) return cost < other.cost;
    return state > other.state;
  }
};

struct State {
  Bits served;
  double cost = 0.0;
  std::uint32_t parent = 0;
  std::uint32_t column = 0;
};

}  // namespace

std::vector<double> row_prices(std::size_t rows, const std::vector<CoverColumn>& columns) {
  std::vector<std::vector<std::uint32_t>> columns_of(rows);
  for (std::uint32_t c = 0; c < columns.size(); ++c) {
    for (const std::uint32_t r : columns[c].rows) columns_of[r].push_back(c);
  }
  std::vector<double> best(rows, 0.0);
  std::vector<double> slack;
  for (const CoverColumn& column : columns) slack.push_back(column.cost);
  raise(best, columns, columns_of, slack);
  const auto sum_of = [](const std::vector<double>& prices) {
    double sum = 0.0;
    for (const double p : prices) sum += p;
    return sum;
  };
  double best_sum = sum_of(best);
  // Subgradient of the Lagrangian sum(u) + sum over columns of min(0, cost - u(column)).
  std::vector<double> u = best;
  double reach = 0.3;
  int since_gain = 0;
  constexpr int kSteps = 600;
  for (int step = 0; step < kSteps; ++step) {
    std::vector<double> slope(rows, 1.0);
    double value = sum_of(u);
    for (const CoverColumn& column : columns) {
      double reduced = column.cost;
      for (const std::uint32_t r : column.rows) reduced -= u[r];
      if (reduced >= 0.0) continue;
      value += reduced;
      for (const std::uint32_t r : column.rows) slope[r] -= 1.0;
    }
    double square = 0.0;
    for (const double s : slope) square += s * s;
    if (square == 0.0) break;
    const double aim = best_sum * (1.0 + reach) + 1e-9;
    const double length = std::max(0.0, aim - value) / square;
    for (std::size_t r = 0; r < rows; ++r) u[r] = std::max(0.0, u[r] + length * slope[r]);
    if (step % 5 == 4) {
      std::vector<double> feasible = made_feasible(u, columns, columns_of);
      const double sum = sum_of(feasible);
      if (sum > best_sum + 1e-9) {
        best = std::move(feasible);
        best_sum = sum;
        since_gain = 0;
      } else if (++since_gain >= 6) {
        reach *= 0.7;
        since_gain = 0;
      }
    }
  }
  return best;
}

Cover cheapest_cover(std::size_t rows, const std::vector<CoverColumn>& all, const CoverOptions& options) {
  Cover cover;
  const std::size_t words = (rows + 63) / 64;
  std::vector<Bits> bits(all.size(), Bits(words, 0));
  std::vector<bool> reachable(rows, false);
  for (std::size_t c = 0; c < all.size(); ++c) {
    for (const std::uint32_t r : all[c].rows) {
      bits[c][r / 64] |= std::uint64_t{1} << (r % 64);
      reachable[r] = true;
    }
  }
  if (std::find(reachable.begin(), reachable.end(), false) != reachable.end()) {
    cover.possible = false;
    return cover;
  }
  const std::vector<std::uint32_t> pool = undominated(all, bits);
  std::vector<CoverColumn> columns;
  for (const std::uint32_t c : pool) columns.push_back(all[c]);
  const double step = common_step(columns);
  const std::vector<double> prices = row_prices(rows, columns);
  double floor_sum = 0.0;
  for (const double p : prices) floor_sum += p;
  cover.chosen = greedy(rows, all, pool);
  for (const std::uint32_t c : cover.chosen) cover.cost += all[c].cost;
  cover.bound = std::min(cover.cost, rounded_up(floor_sum, step));

  std::vector<std::vector<std::uint32_t>> columns_of(rows);
  for (const std::uint32_t c : pool) {
    for (const std::uint32_t r : all[c].rows) columns_of[r].push_back(c);
  }
  std::vector<State> states{{Bits(words, 0), 0.0, 0, 0}};
  std::unordered_map<Bits, std::uint32_t, BitsHash> known{{states[0].served, 0}};
  std::priority_queue<CoverNode> queue;
  queue.push({rounded_up(floor_sum, step), 0.0, 0});
  const auto worthwhile = [&](double estimate) {
    return estimate < cover.cost - (step > 0.0 ? 0.5 * step : kRounding);
  };
  while (!queue.empty() && worthwhile(queue.top().estimate)) {
    const CoverNode node = queue.top();
    queue.pop();
    if (node.cost > states[node.state].cost) continue;  // reached more cheaply since
    cover.bound = std::max(cover.bound, std::min(node.estimate, cover.cost));
    ++cover.states;
    std::size_t first = 0;
    while (first < rows && has(states[node.state].served, first)) ++first;
    if (first == rows) {  // the first complete state to leave the queue is a cheapest one
      cover.cost = node.cost;
      cover.chosen.clear();
      for (std::uint32_t s = node.state; s != 0; s = states[s].parent)
        cover.chosen.push_back(states[s].column);
      std::sort(cover.chosen.begin(), cover.chosen.end());
      break;
    }
    if (states.size() > options.states) return cover;
    for (const std::uint32_t c : columns_of[first]) {
      Bits served = states[node.state].served;
      for (std::size_t w = 0; w < words; ++w) served[w] |= bits[c][w];
      const double cost = node.cost + all[c].cost;
      double rest = 0.0;
      for (std::size_t r = first + 1; r < rows; ++r) {
        if (!has(served, r)) rest += prices[r];
      }
      const double estimate = std::max(node.estimate, rounded_up(cost + rest, step));
      if (!worthwhile(estimate)) continue;
      const auto [at, fresh] = known.try_emplace(served, static_cast<std::uint32_t>(states.size()));
      if (fresh) {
        states.push_back({std::move(served), cost, node.state, c});
      } else if (cost < states[at->second].cost) {
        states[at->second].cost = cost;
        states[at->second].parent = node.state;
        states[at->second].column = c;
      } else {
        continue;
      }
      queue.push({estimate, cost, at->second});
    }
  }
  cover.bound = cover.cost;
  cover.proven = true;
  return cover;
}

}  // namespace lastwright
