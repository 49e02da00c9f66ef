#include "grading/redraw/break_pairs.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "grading/redraw/corner_match.hpp"

namespace lastwright {

namespace {

using Vertex = OutlineRuler::Vertex;
constexpr double kNoCost = std::numeric_limits<double>::infinity();  // of two that are no pair

void order_breaks(const OutlineRuler& was, const OutlineRuler& now, BreakPairs& pairs) {
  std::vector<double> at;
  for (const Vertex& one : was.vertices()) {
    if (one.corner) at.push_back(one.s);
  }
  double cut = 0.0;
  double widest = -1.0;
  for (std::size_t i = 0; i < at.size(); ++i) {
    double gap = was.onward(at[i], at[(i + 1) % at.size()]);
    if (at.size() == 1) gap = was.length();
    if (gap <= widest) continue;
    widest = gap;
    cut = at[i] + 0.5 * gap;
  }
  const auto ordered = [](const OutlineRuler& ruler, double from) {
    std::vector<Vertex> breaks;
    for (const Vertex& one : ruler.vertices()) {
      if (one.corner) breaks.push_back(one);
    }
    std::sort(breaks.begin(), breaks.end(), [&](const Vertex& a, const Vertex& b) {
      return ruler.onward(from, a.s) < ruler.onward(from, b.s);
    });
    return breaks;
  };
  pairs.was = ordered(was, cut);
  pairs.now = ordered(now, now.nearest(was.at(cut)).s);
  pairs.now_of.resize(pairs.was.size());
  pairs.was_of.resize(pairs.now.size());
}

double cost(const Vertex& was, const Vertex& now, double reach) {
  const double off = distance(was.at, now.at);
  // What is drawn at the same place is the same corner, though its neighbours may have moved.
  if (off <= kSameDrawn) return was.turn * now.turn > 0.0 ? -10.0 : kNoCost;
  if (off > reach || !turns_alike(was, now)) return kNoCost;
  return off / reach + std::abs(was.turn - now.turn) / 60.0;
}

// The pairs in order with the least cost; what has no partner costs too.
void pair_in_order(double reach, BreakPairs& pairs) {
  constexpr double kLeft = 1.5;   // an old break without a partner
  constexpr double kAdded = 0.2;  // a new one
  const std::size_t n = pairs.was.size();
  const std::size_t m = pairs.now.size();
  if (n * m > kMostVertexPairs) return;  // no outline of a piece: nothing is paired, all is refused
  std::vector<double> best((n + 1) * (m + 1), 0.0);
  const auto at = [&](std::size_t i, std::size_t j) -> double& { return best[i * (m + 1) + j]; };
  for (std::size_t i = n + 1; i-- > 0;) {
    for (std::size_t j = m + 1; j-- > 0;) {
      if (i == n && j == m) continue;
      double least = kNoCost;
      if (i < n) least = std::min(least, kLeft + at(i + 1, j));
      if (j < m) least = std::min(least, kAdded + at(i, j + 1));
      if (i < n && j < m) least = std::min(least, cost(pairs.was[i], pairs.now[j], reach) + at(i + 1, j + 1));
      at(i, j) = least;
    }
  }
  std::size_t i = 0;
  std::size_t j = 0;
  while (i < n && j < m) {
    if (at(i, j) == cost(pairs.was[i], pairs.now[j], reach) + at(i + 1, j + 1)) {
      pairs.now_of[i] = j;
      pairs.was_of[j] = i;
      ++i;
      ++j;
    } else if (at(i, j) == kLeft + at(i + 1, j)) {
      ++i;
    } else {
      ++j;
    }
  }
}

}  // namespace

bool turns_alike(const Vertex& one, const Vertex& other) {
  const double most = std::max(25.0, 0.3 * std::abs(one.turn));
  return one.turn * other.turn > 0.0 && std::abs(one.turn - other.turn) <= most;
}

BreakPairs pair_breaks(const OutlineRuler& was, const OutlineRuler& now, double reach) {
  BreakPairs pairs;
  order_breaks(was, now, pairs);
  pair_in_order(reach, pairs);
  return pairs;
}

}  // namespace lastwright
