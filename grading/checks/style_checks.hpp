// What can be proved of a graded style before anything is cut.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/checks/girths/piece_girth.hpp"
#include "grading/checks/piece_look.hpp"
#include "grading/checks/seams/seam_report.hpp"
#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct StyleCheckOptions {
  Millimetres seam_limit{0.1};  // beyond the base's own difference
  SeamLimits seams;
  Radians seam_turn{0.0175};  // 1 degree: of edges that run on over a seam's end, beyond the base's own turn
  Millimetres open_girth{2.0};   // of a girth that is open in the sample: beyond the sample's own difference
  Millimetres piece_girth{0.1};  // tolerance::kPieceGirth: of a girth that the pieces close
  Radians smooth{0.0873};        // 5 degrees, tolerance::kCorner: below it an edge counts as smooth
  Radians fold_turn{0.0175};  // 1 degree: an edge that crosses the fold of a piece cut double smoothly in the
                              // sample may turn there by this much more; above it the cut line shows a point
  double least_determinant = 0.05;  // of the map: below it a piece is squashed to a twentieth, or folded
  double grid = 5.0;  // millimetres between the points where the map is looked at, besides the nodes
};

// The limits that a style states.
StyleCheckOptions style_check_options(const StyleSpec& style);

// How pieces that are drawn elsewhere came to lie on their formes.
std::vector<StyleFinding> check_lies(const StyleGrade& grade);
// What lines are drawn as against what the base says of them, in the sample. A line that carries one whole
// measure has to be drawn as long, unless another line that carries it is; the lines of a girth in sum
// nearly; what carries a share is told. Passed findings that are doubtful have a figure to be looked at.
std::vector<StyleFinding> check_base(const StyleSpec& style, const MeasureTable& table);
// Outlines closed, simple, counter-clockwise in every cell.
std::vector<StyleFinding> check_outlines(const StyleGrade& grade, const StyleLooks& looks);
// Cut lines built, closed and simple in every size and width of the run: the allowances fit.
std::vector<StyleFinding> check_cut_lines(const StyleGrade& grade, const StyleLooks& looks);
// What is missing of the allowances on the cut lines (grading/checks/allowances/missing_allowance): one finding for
// every edge that has one.
std::vector<StyleFinding> check_allowances(const StyleSpec& style, const StyleGrade& grade,
                                           const StyleLooks& looks);
// The map's determinant on the nodes and on a grid over
// each piece, in every cell. threads: 0 for one per core.
std::vector<StyleFinding> check_one_to_one(const StyleGrade& grade, const StyleCheckOptions& options,
                                           unsigned threads = 0);
// Measure lines on their table values; check lines within their own, wider limit.
std::vector<StyleFinding> check_lines(const StyleGrade& grade, Millimetres check_line_limit);
// The shares of each declared girth add up to one (exactly, in fractions), and what the lines came to closes
// on the table.
std::vector<StyleFinding> check_girths(const StyleSpec& style, const StyleGrade& grade,
                                       const MeasureTable& table);
// What the pieces put round the last at each girth line against the table (grading/checks/girths/piece_girth).
std::vector<StyleFinding> check_piece_girths(const StyleGrade& grade,
                                             const Result<std::vector<PieceGirth>>& girths,
                                             const StyleCheckOptions& options);
// Length difference of each seam in the base and beyond it, how its ends run on, nicks against each other and
// alone, edges that coincide in the base still coinciding, and which nearly do (grading/checks/seams/seam_report).
// Lengths of seams with tied pieces are reported only.
std::vector<StyleFinding> check_seams(const StyleSpec& style, const StyleGrade& grade,
                                      const Result<std::vector<SeamReport>>& reports,
                                      const StyleCheckOptions& options);
// The two sides of each seam: allowances, laps and the stitch rows on them, eyelets through both pieces
// (grading/checks/seams/seam_sides).
std::vector<StyleFinding> check_seam_sides(const StyleSpec& style, const StyleGrade& grade,
                                           const StyleLooks& looks,
                                           const Result<std::vector<SeamReport>>& reports);
// Measures whose steps are unlike those of the others, allowances unlike those of their like, and limits that
// are looser than is sensible (grading/checks/step_check).
std::vector<StyleFinding> check_steps(const StyleSpec& style, const StyleGrade& grade,
                                      const MeasureTable& table);
// What the style states is found again in what was made: seams, corners, ties and measures
// (grading/checks/kept_check).
std::vector<StyleFinding> check_kept(const StyleSpec& style, const StyleGrade& grade,
                                     const MeasureTable& table, const StyleLooks& looks,
                                     const Result<std::vector<SeamReport>>& reports);
// Edges that cross the fold of a piece cut double smoothly in the sample still do (fold_check).
std::vector<StyleFinding> check_folds(const StyleGrade& grade, const StyleLooks& looks,
                                      const StyleCheckOptions& options);
// Holes, nicks, lines and texts against the limits of the style (grading/checks/features/feature_rules): one finding a
// rule and feature, its subject "piece: feature".
std::vector<StyleFinding> check_features(const StyleSpec& style, const StyleGrade& grade,
                                         const StyleLooks& looks);

}  // namespace lastwright
