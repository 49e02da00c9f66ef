#include "grading/dies/owned/owned_fit.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "grading/dies/plan/die_starts.hpp"

namespace lastwright {

std::vector<std::uint32_t> OwnedFit::by_likeness(const DieShape& die) const {
  const RigidInvariants own = rigid_invariants(die.cut.path);
  std::vector<std::uint32_t> order(of_.demands.size());
  std::iota(order.begin(), order.end(), 0u);
  std::stable_sort(order.begin(), order.end(), [&](auto a, auto b) {
    return least_deviation(own, invariants_[a]) < least_deviation(own, invariants_[b]);
  });
  return order;
}

std::optional<LaidDie> OwnedFit::laid(const DieShape& die, double farthest) const {
  const RigidInvariants own = rigid_invariants(die.cut.path);
  double best = farthest;
  std::optional<LaidDie> result;
  for (const std::uint32_t demand : by_likeness(die)) {
    if (least_deviation(own, invariants_[demand]) > best) break;
    const RigidFit fit = fit_outline(die, *of_.demands[demand], best);
    if (fit.given_up || fit.ratio > best) continue;
    best = fit.ratio;
    result = LaidDie{die, demand, fit.ratio, fit.placement};
  }
  if (!result) return result;
  const DieShape& wanted = *of_.demands[result->nearest];
  const MeasuredOutline on =
      MeasuredOutline(wanted.cut.path, wanted.cut.edge).placed(result->onto.turn, result->onto.shift);
  result->shape.cut.edge.clear();
  for (std::size_t i = 0; i < die.cut.path.size(); ++i) {
    result->shape.cut.edge.push_back(on.arcs()[on.nearest(die.cut.path.segment(i).point_at(0.5)).arc].label);
  }
  return result;
}

// Where the outline lies as well in several places, the place where its work does too.
bool OwnedFit::nearer(std::optional<LaidDie>& one, std::optional<LaidDie>& than) const {
  if (!one || !than) return one.has_value();
  for (std::optional<LaidDie>* way : {&one, &than}) {
    if (!(*way)->apart) (*way)->apart = apart(**way);
  }
  if (std::isinf(*one->apart) && std::isinf(*than->apart)) return one->off < than->off - 1e-3;
  return *one->apart < *than->apart - 1e-3;
}

// As it lies, and turned every way in which its outline fits: a drawing from elsewhere lies where somebody
// put it, and an outline that is its own image after a turn does not tell which way up it is.
std::optional<LaidDie> OwnedFit::laid_anyhow(const DieShape& die, double farthest) const {
  std::optional<LaidDie> best = laid(die, farthest);
  if (die.cut.path.size() < 2) return best;
  const DieShape& likely = *of_.demands[best ? best->nearest : by_likeness(die).front()];
  for (const Radians turn : starting_turns(die, likely, farthest)) {
    constexpr double kAsItLies = 0.02;  // radians: the fit finds the rest
    constexpr double kExact = 0.02;     // of a tolerance: no other place is nearer by what counts
    if (best && std::abs(turn.value()) < kAsItLies) continue;
    if (best && !best->apart) best->apart = apart(*best);
    if (best && *best->apart <= kExact) break;
    std::optional<LaidDie> one = laid(started(die, likely, turn), farthest);
    if (nearer(one, best)) best = std::move(one);
  }
  return best;
}

// The nearest first.
std::vector<std::uint32_t> OwnedFit::of_that_outline(const LaidDie& die) const {
  std::vector<std::uint32_t> order{die.nearest};
  const RigidInvariants own = rigid_invariants(die.shape.cut.path);
  for (std::uint32_t demand = 0; demand < of_.demands.size(); ++demand) {
    if (demand != die.nearest && least_deviation(own, invariants_[demand]) <= die.off + 0.01)
      order.push_back(demand);
  }
  return order;
}

double OwnedFit::apart(const LaidDie& die) const {
  double least = std::numeric_limits<double>::infinity();
  for (const std::uint32_t demand : of_that_outline(die)) {
    for (const bool size_marks : {false, true}) {
      const DieShape& wanted = size_marks ? full_shapes_[demand] : *of_.demands[demand];
      DieShape shape = die.shape;
      if (!arranged(shape, wanted, die.onto) || !alike(shape, wanted)) continue;
      least = std::min(least, (size_marks ? *full_ : plain_).judged(shape, demand).ratio);
      break;
    }
  }
  return least;
}

// True where the die has size marks. Of several sizes with one outline it may be another than the nearest
// whose marks it has.
bool OwnedFit::arrange(LaidDie& die) const {
  for (const std::uint32_t demand : of_that_outline(die)) {
    if (arranged(die.shape, *of_.demands[demand], die.onto)) return false;
    if (!arranged(die.shape, full_shapes_[demand], die.onto)) continue;
    die.nearest = demand;
    return true;
  }
  return false;
}

}  // namespace lastwright
