// Dies of an order of blobs as they are read back from it: each says what it bears.
#pragma once

#include <algorithm>
#include <vector>

#include "grading/dies/order/die_order.hpp"

namespace lastwright::test {

inline std::vector<OwnedDie> owned_again(const DiePlan& plan, const DieOrder& order) {
  std::vector<OwnedDie> owned;
  for (const DieOrderLine& line : order.lines) {
    const PlannedDie& die = plan.dies[line.die];
    OwnedDie one{line.number, line.piece, die.shape};
    std::fill(one.shape.cut.edge.begin(), one.shape.cut.edge.end(), std::uint16_t{0});
    one.of_a_pair = die.hands.mode == HandMode::kPair;
    one.two_edged = die.hands.mode == HandMode::kTwoEdged;
    one.single = !one.of_a_pair && !one.two_edged;
    one.stamp = line.stamp_drawn;
    one.stamp_mirrored = line.stamp_mirrored;
    one.served = line.sizes_widths;
    one.drawn_as = line.drawn_as;
    owned.push_back(std::move(one));
  }
  return owned;
}

}  // namespace lastwright::test
