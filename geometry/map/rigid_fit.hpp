// The rigid placement (a shift and a small turn) under which one set of outlines lies nearest to another.
//
// Minimised: the greatest two-sided Hausdorff distance, each label's divided by that label's tolerance. The
// search linearises the distances at sample points of both outlines, solves the minimax in three unknowns,
// and repeats; the result is then certified by geometry/check/hausdorff on the whole outlines, so `ratio` is
// what the placement really achieves, not what the samples say. That no placement does better is known to
// first order only (`first_order_bound`); `least_deviation` is a rigorous bound, but a coarse one.
#pragma once

#include <span>
#include <vector>

#include "geometry/check/hausdorff.hpp"
#include "geometry/units.hpp"

namespace lastwright {

// Two points that should fall together: centres of a hole in both outlines.
struct PointPair {
  Vec2 moving;
  Vec2 still;
  double tolerance = 0.5;  // millimetres
};

struct OutlinePair {
  const MeasuredOutline* moving = nullptr;
  const MeasuredOutline* still = nullptr;
  std::span<const double> tolerances;  // millimetres, by label; all positive
};

struct RigidFitOptions {
  Radians largest_turn{0.0873};  // 5 degrees: a part turned further on the die would be another part
  Millimetres sample_step{8.0};  // longest stretch between two sample points
  int rounds = 12;               // of linearising at most; with five, some pairs that fit were not found
  double give_up_above =
      1e300;  // stop when the first-order bound exceeds this ratio: the answer is "no" anyway
  Millimetres precision{1e-4};  // of the certificate
  // Ratios between which the answer need not be told apart, ascending
  // (empty: it is told exactly): a ratio between two of them is known to lie
  // there, and is given as up to the upper one. Below the first it is exact.
  std::span<const double> steps;
  // Start where the outlines are, not with their middles on each other, and go on in ever shorter steps until
  // none leads nearer: for a figure that is told rather than judged. `steps`, `rounds` and `give_up_above`
  // are not looked at.
  bool closest = false;
};

// x -> turn about the origin, then shift.
struct Placement {
  Radians turn;
  Vec2 shift;
};
Vec2 placed(Vec2 p, const Placement& placement);

struct RigidFit {
  Placement placement;             // of the moving outlines onto the still ones
  double ratio = 0.0;              // certified upper bound of the greatest deviation / tolerance
  double first_order_bound = 0.0;  // no near placement does better, to first order in the motion
  bool given_up = false;           // ratio is then a lower estimate, above give_up_above
  std::vector<HausdorffResult>
      deviations;  // per outline pair, at the placement; see judge_placement, `reached`
};

RigidFit fit_rigidly(std::span<const OutlinePair> outlines, std::span<const PointPair> points,
                     const RigidFitOptions& options = {});

// The same measures under a placement that is given, e.g. by a reference edge. `reached`: a ratio that is
// known to be reached somewhere; smaller ones are then not told apart (and the labels' values may be short of
// the truth up to it).
RigidFit judge_placement(std::span<const OutlinePair> outlines, std::span<const PointPair> points,
                         const Placement& placement, Millimetres precision = Millimetres(1e-4),
                         double reached = 0.0);

// Lays the moving edge on the still one: middle of the chord on middle, direction on direction.
Placement placement_by_edge(Vec2 moving_from, Vec2 moving_to, Vec2 still_from, Vec2 still_to);

// What no placement can change, for a lower bound of the Hausdorff distance h of two outlines after any rigid
// motion: the perimeters of the convex hulls differ by at most 2 pi h, the diameters by at most 2 h.
struct RigidInvariants {
  double hull_perimeter = 0.0;
  double diameter = 0.0;
  double error = 0.0;  // both are computed from flattened outlines: each may be short by this much
};
RigidInvariants rigid_invariants(const ClosedArcPath& path);
// Rigorous: no rigid placement brings the two outlines nearer than this.
double least_deviation(const RigidInvariants& one, const RigidInvariants& other);

}  // namespace lastwright
