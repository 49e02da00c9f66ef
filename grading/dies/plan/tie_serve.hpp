// Which die serves which sizes and widths of a piece, and how well.
//
// A die serves a size and width when, under one rigid placement, every edge of the size's
// own outline and of the die lie within that edge's tolerance of each other both ways
// (two-sided Hausdorff distance), cut-outs likewise, and punched holes and die-made marks
// fall within the mark tolerance, the same number of the same kind and radius. A mirror
// image changes none of these distances: what is decided for one foot holds for the other.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "geometry/map/rigid_fit.hpp"
#include "grading/dies/die.hpp"

namespace lastwright {

struct PieceTolerances {
  std::vector<double> edges;  // mm, by edge of the piece
  double cut_outs = 0.3;      // mm
  double marks = 0.3;         // mm, holes, nicks, pricks
};

struct ServeOptions {
  double up_to = 1.0;  // keep pairs up to this share of the tolerances (for curves: above 1)
  std::optional<std::size_t> reference_edge;  // place by this edge instead of the best placement
  std::vector<double> steps =
      {};  // ratios above 1 need only be told between these, ascending; see RigidFitOptions
  Millimetres precision{1e-3};
};

// A die's fitness for one size and width.
struct Serves {
  std::uint32_t demand = 0;
  double ratio = 0.0;  // greatest deviation over its tolerance; serves at the stated tolerances when <= 1
  double deviation =
      0.0;              // mm, of the edge that uses most of its tolerance at least; see ServeTable::measured
  Placement placement;  // of the size's own outline onto the die
};

struct ServeCount {
  std::size_t pairs = 0;   // die x size and width
  std::size_t barred = 0;  // ruled out by what no motion can change
  std::size_t fitted = 0;  // placed and measured
  double worst_gap =
      0.0;  // greatest (ratio - first-order bound) / ratio among the pairs near 1: how far from best
  ServeCount& operator+=(const ServeCount& more);
};

// The same operations, as many, of the same diameters, in the same order: no placement can make up for a hole
// that is missing or of another size. Size marks are not looked at.
bool alike(const DieShape& one, const DieShape& other);

// First and last point of an edge; none where the outline has no such edge or it comes in several stretches.
std::optional<std::pair<Vec2, Vec2>> ends_of_edge(const EdgedOutline& outline, std::size_t edge);

// Greatest deviation of all edges, cut-outs and marks of a measured pair, mm.
double greatest_deviation(const RigidFit& fit, const DieShape& demand, const DieShape& die);

// The outlines of a piece, made ready once.
class ServeTable {
 public:
  ServeTable(const std::vector<const DieShape*>& demands, PieceTolerances tolerances, ServeOptions options);

  // By rising demand. `same_as`: the demand whose own outline this is, served without measuring.
  [[nodiscard]] std::vector<Serves> served_by(const DieShape& die, std::optional<std::uint32_t> same_as,
                                              ServeCount& count) const;
  // One pair under a placement that is known, every edge measured in full.
  [[nodiscard]] RigidFit measured(const DieShape& die, std::uint32_t demand,
                                  const Placement& placement) const;
  // One pair, placed anew.
  [[nodiscard]] RigidFit judged(const DieShape& die, std::uint32_t demand) const;

 private:
  struct Ready {
    MeasuredOutline outline;
    std::vector<MeasuredOutline> cut_outs;
    RigidInvariants invariants;
    const DieShape* shape = nullptr;
  };
  static Ready made_ready(const DieShape& shape);
  [[nodiscard]] std::vector<OutlinePair> pairs_of(const Ready& die, const Ready& demand) const;
  [[nodiscard]] RigidFit fit(const Ready& die, const Ready& demand, double give_up_above) const;

  std::vector<Ready> demands_;
  PieceTolerances tolerances_;
  std::vector<double> cut_out_tolerance_;
  ServeOptions options_;
  double greatest_tolerance_ = 0.0;
};

}  // namespace lastwright
