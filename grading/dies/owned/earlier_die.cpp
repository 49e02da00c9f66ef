#include "grading/dies/owned/earlier_die.hpp"

#include <algorithm>
#include <iterator>
#include <map>
#include <string_view>

#include "grading/dies/order/die_numbers.hpp"
#include "grading/dies/order/die_stamps.hpp"

namespace lastwright {

namespace {

bool plain(const EarlierDie& one) {
  return one.die.foot == OwnedFoot::kUnknown;
}

// Drawings of an order show the number and the stamp: no two dies of it have the same bytes. The key looks
// into the drawing, which must outlive it.
using DieKey = std::pair<bool, std::string_view>;
DieKey key_of(const EarlierDie& one) {
  return {plain(one), *one.drawing};
}

// What one die of a line bears from now on, and all that are of its kind.
void take_stamps(const std::vector<OwnedDie>& before, std::size_t which, bool mirror,
                 const DieOrderLine& line, const DieThere& there, const DiePlaces& places,
                 std::vector<EarlierDie>& dies) {
  for (std::size_t k = 0; k < dies.size(); ++k) {
    if (!same_kind(before[which], before[k])) continue;
    EarlierDie& one = dies[k];
    if (plain(one)) {
      if (line.to_make > 0 && !line.renumbered.empty()) one.restamped = line.number;
      continue;
    }
    (mirror ? one.die.stamp_mirrored : one.die.stamp) = there.stamp;
    one.die.served = borne_now(before[k].served, line.sizes_widths, places);
    if (line.to_make > 0) one.die.number = line.number;
  }
}

}  // namespace

std::vector<OwnedDie> owned_of(const std::vector<EarlierDie>& dies) {
  std::vector<OwnedDie> owned;
  owned.reserve(dies.size());
  std::transform(dies.begin(), dies.end(), std::back_inserter(owned),
                 [](const EarlierDie& one) { return one.die; });
  return owned;
}

std::vector<EarlierDie> each_once(const std::vector<std::vector<EarlierDie>>& folders) {
  std::vector<EarlierDie> all;
  std::map<DieKey, std::vector<std::size_t>> places;  // in `all`
  std::map<DieKey, std::size_t> given;
  for (const std::vector<EarlierDie>& folder : folders) {
    std::map<DieKey, std::size_t> carried;
    for (const EarlierDie& one : folder) {
      const DieKey key = key_of(one);
      const std::size_t count = one.carried > 0 ? ++carried[key] : ++given[key];
      std::vector<std::size_t>& known = places[key];
      const bool later = !known.empty() && one.carried > all[known.front()].carried;
      for (const std::size_t at : known) {
        if (later) all[at] = one;
      }
      if (known.size() >= count) continue;
      known.push_back(all.size());
      all.push_back(known.size() > 1 ? EarlierDie(all[known.front()]) : one);
    }
  }
  return all;
}

std::vector<EarlierDie> handed_on(std::vector<EarlierDie> given, const DiePlan& plan, const DieOrder& order,
                                  const DiePlaces& places) {
  const std::vector<OwnedDie> before = owned_of(given);
  for (const DieOrderLine& line : order.lines) {
    const PlannedDie& die = plan.dies[line.die];
    if (!die.owned) continue;
    auto there = line.there.begin();
    if (!die.make_drawn) take_stamps(before, *die.owned, die.turned, line, *there++, places, given);
    if (die.hands.mode == HandMode::kPair && !die.make_mirrored)
      take_stamps(before, die.owned_other.value_or(*die.owned), !die.other_turned, line, *there, places,
                  given);
  }
  for (EarlierDie& one : given) ++one.carried;
  return given;
}

}  // namespace lastwright
