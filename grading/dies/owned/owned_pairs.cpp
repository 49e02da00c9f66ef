#include "grading/dies/owned/owned_pairs.hpp"

#include <algorithm>
#include <cmath>

#include "grading/dies/owned/die_recognised.hpp"

namespace lastwright {

bool same_die(const DieShape& one, const DieShape& other) {
  // Outlines this near differ in area by no more than a band along them: a quick no to most.
  const double band = 2.0 * kSamePair.value() * (length(one.cut.path) + length(other.cut.path));
  if (std::abs(signed_area(one.cut.path) - signed_area(other.cut.path)) > band) return false;
  if (!alike(one, other) ||
      least_deviation(rigid_invariants(one.cut.path), rigid_invariants(other.cut.path)) > kSamePair.value())
    return false;
  const double tolerance = kSamePair.value();
  std::uint16_t edges = 0;
  for (const DieShape* shape : {&one, &other}) {
    for (const std::uint16_t edge : shape->cut.edge) edges = std::max(edges, edge);
  }
  const ServeTable table({&one}, {std::vector<double>(edges + 1u, tolerance), tolerance, tolerance}, {});
  return table.judged(other, 0).ratio <= 1.0;
}

void join_pairs(std::size_t places, PieceCandidates& result) {
  const std::size_t owned = result.foot.size();
  for (std::size_t i = 0; i < owned; ++i) {
    if (result.foot[i] != OwnedFoot::kDrawn || result.serves[places + i].empty()) continue;
    for (std::size_t j = 0; j < owned; ++j) {
      if (result.foot[j] != OwnedFoot::kMirrored || result.serves[places + j].empty() ||
          result.size_marked[i] != result.size_marked[j] ||
          !same_die(*result.shapes[places + i], *result.shapes[places + j]))
        continue;
      result.foot[i] = OwnedFoot::kBoth;
      result.partner[i] = j;
      result.serves[places + j].clear();
      break;
    }
  }
}

}  // namespace lastwright
