// The distances of two outlines, and of points, as they change to first order with a motion: the rows of
// which rigid_fit makes the greatest smallest.
#pragma once

#include <vector>

#include "geometry/map/chebyshev.hpp"
#include "geometry/map/rigid_fit.hpp"

namespace lastwright {

struct FitSample {
  Vec2 at;
  double tolerance = 1.0;
  std::size_t hint = 0;  // nearest arc of the other outline last time
  // Where the sample was when all arcs were searched, as that outline lies, and the nearest there: every arc
  // but this and the two beside it was at least so far away (below 0: never searched). While the sample moves
  // less than that leaves, only the three are asked.
  Vec2 seen = {};
  std::size_t around = 0;
  double beyond = -1.0;
};

struct SampledPair {
  OutlinePair pair;
  std::vector<FitSample> moving;
  std::vector<FitSample> still;
};

// Points of an outline no farther apart than the step, each with the tolerance of its label.
std::vector<FitSample> sampled(const MeasuredOutline& outline, std::span<const double> tolerances,
                               double step);

// Placement as turn about `pivot` (a point of the moving frame) and a shift: keeps turn and shift apart.
struct Pose {
  double turn = 0.0;
  Vec2 shift;
  Vec2 pivot;
  [[nodiscard]] Vec2 place(Vec2 p) const { return pivot + turned(p - pivot, turn) + shift; }
  [[nodiscard]] Vec2 unplace(Vec2 p) const { return pivot + turned(p - shift - pivot, -turn); }
  [[nodiscard]] Placement placement() const { return {Radians(turn), pivot + shift - turned(pivot, turn)}; }
};

// One row per sample: signed distance, its change with the shift and with the turn times `arm`.
void add_rows(SampledPair& sampled_pair, const Pose& pose, double arm, std::vector<ResidualRow>& rows);
// Several of each pair: its distance in directions all round, and in that in which it is apart.
void add_rows(std::span<const PointPair> points, const Pose& pose, double arm,
              std::vector<ResidualRow>& rows);

}  // namespace lastwright
