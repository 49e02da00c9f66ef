// The die candidates of one piece: their shapes, whom they
// serve, and the lengths of their edges for the seams.
#pragma once

#include <optional>
#include <vector>

#include "grading/dies/plan/plan_input.hpp"
#include "grading/dies/plan/tie_solve.hpp"

namespace lastwright {

// Why an owned die serves nothing of a piece.
struct OwnedMiss {
  double off = 0.0;  // of the outline, mm: the piece it misses least is the one to tell
  std::string why;
};

struct PieceCandidates {
  std::vector<std::optional<DieShape>>
      shapes;                               // by candidate: places, then owned dies; empty: not a candidate
  std::vector<std::vector<Serves>> serves;  // by candidate
  std::vector<std::vector<double>>
      edge_lengths;                    // by candidate, by edge: net, mm; empty where there is no candidate
  std::vector<std::uint32_t> nearest;  // by owned die: the demand its edges were taken from
  std::vector<std::optional<Radians>> fold_lay;  // by candidate, see DieOutline
  std::vector<std::optional<std::uint32_t>>
      place;                      // by owned die: the place of the grade whose outline it is
  std::vector<OwnedFoot> foot;    // by owned die: never unknown
  std::vector<bool> turned;       // by owned die: the piece's drawing shows the other foot than its order did
  std::vector<bool> size_marked;  // by owned die: its marks hold size marks
  std::vector<bool> stamped_apart;                  // by owned die: see PlannedDie
  std::vector<std::optional<std::size_t>> partner;  // by owned die: the one of the other foot, used with it
  std::vector<std::optional<OwnedMiss>> miss;       // by owned die
  // By owned die of a piece that the style does not have: the size and width of this piece that it is, by its
  // outline and its work, "8 F"; else empty.
  std::vector<std::string> alike;
  std::vector<std::uint32_t> unmade;  // places outside the run of which no outline can be made
  double mirror = 0.0;                // greatest deviation from its mirror image, ends of the run, mm
  ServeCount count;
};

// By its place among the piece's edges; none where no rule names one.
std::optional<std::size_t> reference_edge_of(const DieRules& rules, const PieceSpec& piece);

// Safe to call for different pieces from different threads. Fails when an outline cannot be made, or the
// reference edge is not one stretch of the outline.
Result<PieceCandidates> find_candidates(const DiePlanInput& input, std::size_t piece, double up_to);

}  // namespace lastwright
