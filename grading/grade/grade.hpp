// The main job: every piece of a style in every size and width of its run.
//
// grade_style solves each forme once and makes one matrix product per piece for the whole run. Pieces are
// then made on demand (drawn_piece, cut_piece), independent of each other and from any thread.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "grading/features/feature_place.hpp"
#include "grading/features/feature_plan.hpp"
#include "grading/grade/grade_map.hpp"
#include "grading/grade/piece_shape.hpp"
#include "grading/measures/measure_table.hpp"
#include "grading/pieces/allowance.hpp"
#include "grading/pieces/bound_piece.hpp"
#include "grading/pieces/graded_piece.hpp"
#include "grading/sizes/size_run.hpp"

namespace lastwright {

struct GradedForme {
  GradeMap map;
  std::vector<Drivers> drivers;  // one per cell of the run; last: the base
};

// Drivers x cells.
Columns driver_columns(const std::vector<Drivers>& drivers);

struct PreparedPiece {
  BoundPiece bound;
  std::size_t forme = 0;  // index into StyleGrade::formes
  PieceShape shape;
  Columns nodes;                          // one column per cell of the run; last: the base
  std::vector<EdgeAllowance> allowances;  // one for each edge
  // By cell of the run: the cell whose outline it takes. Another one where sizes are tied on the piece.
  std::vector<std::size_t> drawn_as;
  // By cell: the cell whose cut-outs it has, in their shape. Empty where they grow with the piece.
  std::vector<std::size_t> cut_outs_as = {};
  FeaturePlan features;
};

// A piece in one size and width with each of its parts
// made once: what the checks look at and what is written.
struct MadePiece {
  std::size_t piece = 0;
  std::size_t cell = 0;
  GradedPiece drawn;                            // as drawn_piece
  Result<GradedPiece> outlined;                 // as outlined_piece
  Result<std::vector<PlacedFeature>> features;  // as features; where nothing was outlined, none
};
// The same as StyleGrade::cut_piece.
Result<GradedPiece> cut_of(MadePiece made);

struct StyleGrade {
  SizeRun run;
  // What is made, sizes outermost; what pieces of it are made as besides (SizeRun::also); last: the base, part
  // of the run or not.
  std::vector<SizeWidth> cells;
  std::vector<GradeStep> steps;  // what each cell asks
  std::vector<GradedForme> formes;
  std::vector<PreparedPiece> pieces;

  // The base drawn through the grade: its drivers are zero.
  [[nodiscard]] std::size_t base_cell() const { return cells.size() - 1; }
  // Cells of the run itself: every size in every width it is made in.
  [[nodiscard]] std::size_t run_cells() const { return cells.size() - 1 - run.also.size(); }
  // Index of a size and width of the run; precondition: it is made.
  [[nodiscard]] std::size_t cell(std::size_t size, std::size_t width) const;
  // The piece as it is drawn on its forme: net line, inner lines and holes; a piece that is cut double is
  // still a half.
  [[nodiscard]] GradedPiece drawn_piece(std::size_t piece, std::size_t cell) const;
  // The allowances of its edges, as it is drawn there.
  [[nodiscard]] std::vector<Millimetres> allowances(std::size_t piece, std::size_t cell) const;
  // The piece unfolded, with its net line, its cut line and its features. Fails where an allowance does not
  // fit, with the piece, edge, size and width in the Problem.
  [[nodiscard]] Result<GradedPiece> cut_piece(std::size_t piece, std::size_t cell) const;
  // The same without the features.
  [[nodiscard]] Result<GradedPiece> outlined_piece(std::size_t piece, std::size_t cell) const;
  // All of these at once.
  [[nodiscard]] MadePiece made_piece(std::size_t piece, std::size_t cell) const;
  // The features the style states, one for each; `graded` is the piece with its net and cut line. cut_piece
  // has them already.
  [[nodiscard]] Result<std::vector<PlacedFeature>> features(std::size_t piece, std::size_t cell,
                                                            const GradedPiece& graded) const;

 private:
  [[nodiscard]] Result<GradedPiece> outlined(GradedPiece drawn, std::size_t piece, std::size_t cell) const;
  [[nodiscard]] Problem at_cell(const Problem& problem, std::size_t cell) const;
};

// Fails when a forme's rules cannot be met somewhere in the run or a curve cannot be followed; the Problem
// names the forme, the piece, the size and the width. `pieces` are in the order of the style.
Result<StyleGrade> grade_style(const StyleSpec& style, const MeasureTable& table, const SizeRun& run,
                               std::vector<BoundPiece> pieces, const ShapeOptions& options = {},
                               unsigned threads = 0);

}  // namespace lastwright
