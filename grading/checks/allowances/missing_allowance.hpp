// Allowance that is not there: what a cut line lacks of the width that is stated for an edge.
//
// By the definition and not by how the cut line was made: from a point of the net line, straight outward
// along its normal, there is as much material as the way to the first crossing of the cut line. Nearest
// distances would not do: beside a corner the neighbour's narrower allowance is always nearer, also where the
// edge has all of its own. At a hollow corner the two allowances share their material; there nothing is
// missing, and the stretch that is shared is told for itself.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "grading/pieces/graded_piece.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

struct MissingAllowance {
  std::size_t edge = 0;
  double worst = 0.0;   // mm of the allowance; told where it is above tolerance::kOffset
  double length = 0.0;  // mm of the net edge over which it is, within a hundredth of each stretch
  double shared = 0.0;  // mm beside hollow corners whose allowance belongs to the neighbour too
  double edge_length = 0.0;
  Vec2 at;  // of the net line, where it is worst
  // Too much: the wider line of a neighbour runs on beside this edge, nearly along it, as at a hollow corner
  // that is almost straight.
  double more = 0.0;       // mm beyond the allowance
  double more_over = 0.0;  // mm of the net edge, within a tenth of each stretch
  Vec2 more_at;
};

// Edges of which anything is missing, shared or too much, in their order. `piece`: unfolded, with its cut
// line, without features; of a piece that is cut double (`half`) the drawn half is looked at, which comes
// first.
std::vector<MissingAllowance> missing_allowances(const GradedPiece& piece,
                                                 std::span<const Millimetres> allowances, bool half);

// The most that may be missing of an edge: as the style states for its treatment. Unless it does, by common
// practice edges that are sewn, lapped, folded, bound or bagged hold their allowance to the end (0.1 mm), and
// lasting and trim edges, whose ends are cut away in the making, may lack half of it there. An edge that ends
// at a corner of a form which itself cuts into allowances (mitre, step) is then only reported: none.
std::optional<double> most_missing(const StyleSpec& style, const PieceSpec& piece, const EdgeSpec& edge,
                                   Millimetres allowance);

}  // namespace lastwright
