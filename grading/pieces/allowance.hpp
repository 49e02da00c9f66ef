// Allowances: the cut line from the net line (grading/pieces/net/net_recovery is the way back).
#pragma once

#include <span>
#include <string>
#include <utility>
#include <vector>

#include "geometry/offset/offset.hpp"
#include "grading/pieces/graded_piece.hpp"
#include "grading/sizes/size_run.hpp"
#include "grading/style/piece_spec.hpp"

namespace lastwright {

// What is added outside one edge, by size.
struct EdgeAllowance {
  Millimetres below;                                   // in sizes below the first step
  std::vector<std::pair<Fraction, Millimetres>> from;  // from this position on the scale; ascending
  [[nodiscard]] Millimetres at(const Size& size) const;
};
// One for each edge of the piece, in its order. Precondition: the run knows the sizes that the piece names.
std::vector<EdgeAllowance> edge_allowances(const PieceSpec& spec, const SizeRun& run);

// Those of the base size.
std::vector<Millimetres> base_allowances(const PieceSpec& spec, const SizeRun& run);

// How the cut line goes round a named corner.
OffsetCorner corner_form(const PieceSpec& spec, const std::string& corner);

// Adds each edge's allowance outside its net line: piece.cut is made from piece.net. `allowances`: one for
// each edge of the piece. A piece that is cut double comes unfolded (grading/pieces/unfold). What stands
// between two edges at a corner counts as part of one of them.
//
// Fails where an allowance does not fit: the Problem names the piece and the edge to blame, with its
// allowance as value and as limit the largest that fits if the other edges keep theirs (found by halving, to
// 0.01 mm). Where no edge alone is to blame it names the one with the largest allowance, and the limit holds
// if all are reduced in proportion.
Status apply_allowances(const PieceSpec& spec, std::span<const Millimetres> allowances, GradedPiece& piece);

// Whether apply_allowances succeeds; where it does not this is quicker, for it does not look for what would.
bool allowances_fit(const PieceSpec& spec, std::span<const Millimetres> allowances, const GradedPiece& piece);

}  // namespace lastwright
