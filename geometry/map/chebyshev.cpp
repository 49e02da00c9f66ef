#include "geometry/map/chebyshev.hpp"

#include <algorithm>
#include <cmath>

namespace lastwright {

namespace {

using Four = std::array<ResidualRow, 4>;

double det(const std::array<double, 3>& a, const std::array<double, 3>& b, const std::array<double, 3>& c) {
  return a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0]) +
         a[2] * (b[0] * c[1] - b[1] * c[0]);
}

double residual(const ResidualRow& row, const std::array<double, 3>& x) {
  return row.value + row.gradient[0] * x[0] + row.gradient[1] * x[1] + row.gradient[2] * x[2];
}

// Solves one reference: residuals of equal size with the signs of the rows' dependence. False when the four
// gradients do not span space.
bool solve(const Four& r, Minimax& answer) {
  const std::array<double, 4> weight{
      det(r[1].gradient, r[2].gradient, r[3].gradient), -det(r[0].gradient, r[2].gradient, r[3].gradient),
      det(r[0].gradient, r[1].gradient, r[3].gradient), -det(r[0].gradient, r[1].gradient, r[2].gradient)};
  double total = 0.0;
  double sum = 0.0;
  std::size_t spare = 0;  // the row whose weight is greatest: the other three are the best conditioned
  for (std::size_t i = 0; i < 4; ++i) {
    total += std::abs(weight[i]);
    sum += weight[i] * r[i].value;
    if (std::abs(weight[i]) > std::abs(weight[spare])) spare = i;
  }
  if (!(total > 0.0)) return false;
  answer.level = std::abs(sum) / total;
  std::array<const ResidualRow*, 3> rest{};
  std::array<double, 3> wanted{};
  std::size_t k = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    if (i == spare) continue;
    const double sign = (weight[i] >= 0.0) == (sum >= 0.0) ? 1.0 : -1.0;
    rest[k] = &r[i];
    wanted[k++] = sign * answer.level - r[i].value;
  }
  const auto& g0 = rest[0]->gradient;
  const auto& g1 = rest[1]->gradient;
  const auto& g2 = rest[2]->gradient;
  const double d = det(g0, g1, g2);
  if (d == 0.0) return false;
  for (std::size_t j = 0; j < 3; ++j) {  // Cramer's rule
    auto h0 = g0;
    auto h1 = g1;
    auto h2 = g2;
    h0[j] = wanted[0];
    h1[j] = wanted[1];
    h2[j] = wanted[2];
    answer.x[j] = det(h0, h1, h2) / d;
  }
  return true;
}

}  // namespace

Minimax smallest_greatest(const std::vector<ResidualRow>& rows, std::array<double, 3> stiffness) {
  Minimax best;
  if (rows.empty()) return best;
  std::array<ResidualRow, 3> springs{};
  for (std::size_t j = 0; j < 3; ++j) springs[j].gradient[j] = stiffness[j];
  Four reference{springs[0], springs[1], springs[2], rows.front()};
  for (const ResidualRow& row : rows) {
    if (std::abs(row.value) > std::abs(reference[3].value)) reference[3] = row;
  }
  solve(reference, best);
  const auto worst_at = [&](const std::array<double, 3>& x) {
    const ResidualRow* worst = &rows.front();
    double most = std::abs(residual(*worst, x));
    const auto look_at = [&](const ResidualRow& row) {
      const double here = std::abs(residual(row, x));
      if (!(here > most)) return;
      most = here;
      worst = &row;
    };
    for (const ResidualRow& row : rows) look_at(row);
    for (const ResidualRow& row : springs) look_at(row);
    return *worst;
  };
  constexpr int kRounds = 200;  // in practice under 20; a stall by rounding ends with a valid bound
  for (int round = 0; round < kRounds; ++round) {
    const ResidualRow worst = worst_at(best.x);
    best.achieved = std::abs(residual(worst, best.x));
    if (best.achieved <= best.level * (1.0 + 1e-9) + 1e-12) break;
    Minimax next = best;
    Four next_reference = reference;
    for (std::size_t out = 0; out < 4; ++out) {
      Four trial = reference;
      trial[out] = worst;
      Minimax answer;
      if (solve(trial, answer) && answer.level > next.level) {
        next = answer;
        next_reference = trial;
      }
    }
    if (next.level <= best.level) break;
    best = next;
    reference = next_reference;
  }
  best.achieved = std::abs(residual(worst_at(best.x), best.x));
  return best;
}

std::array<double, 3> shortest_within(const std::vector<ResidualRow>& rows, double level,
                                      std::array<double, 3> otherwise) {
  // Hildreth's method: each violated row in turn pushes x
  // back to its bound, and remembers how much it pushed.
  struct Push {
    const ResidualRow* row;
    double sign;
    double amount;
    double square;  // of the row's gradient
  };
  std::vector<Push> pushes;
  std::array<double, 3> x{};
  constexpr int kRounds = 12;
  constexpr int kSweeps = 40;
  for (int round = 0; round < kRounds; ++round) {
    const ResidualRow* worst = nullptr;
    double excess = level * 1e-3;
    for (const ResidualRow& row : rows) {
      const double over = std::abs(residual(row, x)) - level;
      if (over > excess) {
        excess = over;
        worst = &row;
      }
    }
    if (worst == nullptr) return x;
    const auto& gradient = worst->gradient;
    pushes.push_back({worst, residual(*worst, x) > 0.0 ? 1.0 : -1.0, 0.0,
                      gradient[0] * gradient[0] + gradient[1] * gradient[1] + gradient[2] * gradient[2]});
    bool moved = true;  // where a whole sweep changes nothing, no later one does
    for (int sweep = 0; sweep < kSweeps && moved; ++sweep) {
      moved = false;
      for (Push& push : pushes) {
        if (push.square == 0.0) continue;
        const auto& g = push.row->gradient;
        const double over = push.sign * residual(*push.row, x) - level;
        const double change = std::max(-push.amount, over / push.square);
        const double amount = push.amount + change;
        moved = moved || amount != push.amount;
        push.amount = amount;
        for (std::size_t j = 0; j < 3; ++j) {
          const double here = x[j] - push.sign * change * g[j];
          moved = moved || here != x[j];
          x[j] = here;
        }
      }
    }
  }
  return otherwise;
}

}  // namespace lastwright
