#include "grading/dies/plan/die_starts.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "geometry/map/rigid_fit.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kDirections = 180;
constexpr std::size_t kMostStarts = 24;
constexpr std::size_t kMostOutlineStarts = 12;  // more turns than these fit a round outline only
constexpr double kSameStart = 0.0262;  // radians, a degree and a half: a fit finds what is so near by itself

double step_turn(std::size_t steps) {
  return 2.0 * std::numbers::pi * static_cast<double>(steps) / static_cast<double>(kDirections);
}

// How far a shape reaches from the middle of its area, by direction.
struct HullReach {
  std::array<double, kDirections> by{};
  Vec2 centre;
  double greatest = 0.0;
};

HullReach reach_of(const ClosedArcPath& path) {
  HullReach reach;
  const std::vector<Vec2> points = flattened(path, Millimetres(0.05));
  reach.centre = principal_axes(path).centre;
  for (std::size_t k = 0; k < kDirections; ++k) {
    const Vec2 direction = turned({1.0, 0.0}, step_turn(k));
    double farthest = -std::numeric_limits<double>::infinity();
    for (const Vec2 p : points) farthest = std::max(farthest, dot(p - reach.centre, direction));
    reach.by[k] = farthest;
    reach.greatest = std::max(reach.greatest, farthest);
  }
  return reach;
}

// The greatest difference after the die is turned by so many steps and then moved where the sum of squares is
// least: a shift adds a cosine and a sine of the direction.
double apart_after(const HullReach& die, const HullReach& wanted, std::size_t steps) {
  double c = 0.0;
  double s = 0.0;
  std::array<double, kDirections> off{};
  for (std::size_t k = 0; k < kDirections; ++k) {
    off[k] = die.by[(k + kDirections - steps) % kDirections] - wanted.by[k];
    c += off[k] * std::cos(step_turn(k));
    s += off[k] * std::sin(step_turn(k));
  }
  c *= 2.0 / static_cast<double>(kDirections);
  s *= 2.0 / static_cast<double>(kDirections);
  double greatest = 0.0;
  for (std::size_t k = 0; k < kDirections; ++k)
    greatest = std::max(greatest, std::abs(off[k] - c * std::cos(step_turn(k)) - s * std::sin(step_turn(k))));
  return greatest;
}

// Places of what a die makes beside its outline, by what they may be matched with.
std::vector<Vec2> work_places(const DieShape& shape, int kind) {
  std::vector<Vec2> places;
  if (kind == 0) {
    for (const GradedHole& hole : shape.holes) places.push_back(hole.centre);
  } else if (kind == 1) {
    for (const ClosedArcPath& cut_out : shape.cut_outs) places.push_back(bounds(cut_out).centre());
  } else {
    for (const std::vector<GradedLine>* marks : {&shape.marks, &shape.size_marks}) {
      for (const GradedLine& mark : *marks) {
        if (!mark.path.vertices.empty())
          places.push_back(lerp(mark.path.vertices.front().at, mark.path.vertices.back().at, 0.5));
      }
    }
  }
  return places;
}

// By the kind of work that is there least often: where one of the die's comes to one of the wanted shape's.
std::vector<double> turns_by_work(const DieShape& die, const HullReach& here, const DieShape& wanted,
                                  const HullReach& there, double within) {
  std::vector<double> least;
  for (const int kind : {0, 1, 2}) {
    const std::vector<Vec2> ours = work_places(die, kind);
    const std::vector<Vec2> theirs = work_places(wanted, kind);
    if (ours.empty() || theirs.empty()) continue;
    std::vector<double> turns;
    const Vec2 one = *std::max_element(ours.begin(), ours.end(), [&](Vec2 a, Vec2 b) {
      return distance(a, here.centre) < distance(b, here.centre);
    });
    const Vec2 arm = one - here.centre;
    for (const Vec2 other : theirs) {
      const Vec2 other_arm = other - there.centre;
      if (norm(arm) <= within || std::abs(norm(arm) - norm(other_arm)) > 2.0 * within) continue;
      turns.push_back(angle_between(arm, other_arm));
    }
    if (!turns.empty() && (least.empty() || turns.size() < least.size())) least = std::move(turns);
  }
  return least;
}

}  // namespace

std::vector<Radians> starting_turns(const DieShape& die, const DieShape& wanted, double within) {
  const HullReach here = reach_of(die.cut.path);
  const HullReach there = reach_of(wanted.cut.path);
  struct Start {
    double apart;
    double turn;
  };
  std::array<double, kDirections> apart{};
  for (std::size_t k = 0; k < kDirections; ++k) apart[k] = apart_after(here, there, k);
  // Half a step turns a side by so much; the shift is the best of squares, not the least greatest.
  const double enough = 2.0 * within + 0.5 * step_turn(1) * std::max(here.greatest, there.greatest);
  std::vector<Start> starts;
  std::vector<Start> by_work;
  std::size_t nearest = 0;
  for (std::size_t k = 0; k < kDirections; ++k) {
    if (apart[k] < apart[nearest]) nearest = k;
    const bool local =
        apart[k] <= apart[(k + 1) % kDirections] && apart[k] <= apart[(k + kDirections - 1) % kDirections];
    if (local && apart[k] <= enough) starts.push_back({apart[k], step_turn(k)});
  }
  for (const double turn : turns_by_work(die, here, wanted, there, std::max(within, 1.0))) {
    const double steps = std::round(turn / step_turn(1));
    const auto k =
        static_cast<std::size_t>(static_cast<long>(steps) + static_cast<long>(kDirections)) % kDirections;
    if (apart[k] <= enough) by_work.push_back({apart[k], turn});
  }
  if (starts.empty()) starts.push_back({apart[nearest], step_turn(nearest)});
  const auto by_nearness = [](const Start& a, const Start& b) { return a.apart < b.apart; };
  std::stable_sort(starts.begin(), starts.end(), by_nearness);
  std::stable_sort(by_work.begin(), by_work.end(), by_nearness);
  if (starts.size() > kMostOutlineStarts && !by_work.empty())
    starts.clear();  // the outline says nothing, the work all
  starts.insert(starts.end(), by_work.begin(), by_work.end());
  std::vector<Radians> turns;
  for (const Start& start : starts) {
    const bool known = std::any_of(turns.begin(), turns.end(), [&](Radians one) {
      return std::abs(std::remainder(one.value() - start.turn, 2.0 * std::numbers::pi)) < kSameStart;
    });
    if (!known && turns.size() < kMostStarts) turns.push_back(Radians(start.turn));
  }
  return turns;
}

DieShape started(const DieShape& die, const DieShape& wanted, Radians turn) {
  const Vec2 here = principal_axes(die.cut.path).centre;
  const Vec2 there = principal_axes(wanted.cut.path).centre;
  return placed(die, Placement{turn, there - placed(here, Placement{turn, {}})});
}

}  // namespace lastwright
