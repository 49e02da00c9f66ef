// What the checks keep of a piece in one size and width,
// so that each is made once and need not stay in memory.
//
//   const StyleLooker looker(style, grade);
//   StyleLooks looks = looker.all(threads);
//   JudgedStyle judged = judge_style(style, grade, table, looker, looks, threads);
//
// Where the pieces are made for other reasons as well, looks
// are filled one by one, for every piece and every cell:
//
//   StyleLooks looks = looker.none();
//   looks[p][k] = looker.look(grade.made_piece(p, k), SheetTrial::kByWriting);
#pragma once

#include <optional>
#include <vector>

#include "grading/checks/allowances/fold_check.hpp"
#include "grading/checks/allowances/missing_allowance.hpp"
#include "grading/checks/features/feature_rules.hpp"
#include "grading/checks/features/hole_check.hpp"
#include "grading/checks/reach_check.hpp"
#include "grading/checks/seams/edge_in_seam.hpp"
#include "grading/checks/seams/seam_sides.hpp"
#include "grading/grade/girth_line.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct SeamEdgeLook {
  std::size_t edge = 0;
  std::optional<EdgeInSeam> found;
};

struct PieceLook {
  std::optional<Problem> drawn_fault;     // its outline, as drawn, is not simple
  std::optional<Problem> corners_fault;   // an edge or a corner is not where the grade puts it
  std::optional<Problem> cut_fault;       // an allowance does not fit, or the cut line is not simple
  std::vector<MissingAllowance> missing;  // of its edges' allowances
  std::vector<CutReach> reaches;          // of its cut line
  std::vector<NetSpike> spikes;           // of its net line
  std::optional<FoldAngles> fold;
  std::vector<SeamEdgeLook> sewn;              // its edges that a seam names
  std::vector<std::vector<Stretch>> on_lines;  // by girth line: what lies inside the net line
  std::optional<Problem> features_fault;       // a feature cannot be made
  FeatureLook features;
  std::vector<EdgeHoles> edge_holes;  // of eyelets that are strung along edges
  std::vector<SingleHole> single_holes;
  double absorbed = 0.0;  // mm that its cut line moves by where steps too short to cut are absorbed
  std::optional<Problem> sheet_fault;  // it cannot be written as a drawing for cutters, where that was tried
  // mm from its mirror image; measured only where the sample is its own mirror image, and not where another
  // cell's outline is taken.
  std::optional<double> mirror;
};
using StyleLooks = std::vector<std::vector<PieceLook>>;  // by piece and cell of the grade

// Whether a piece can be written as a drawing for cutters is tried, unless it is written anyway.
enum class SheetTrial { kHere, kByWriting };

class StyleLooker {
 public:
  // Both must outlive it.
  StyleLooker(const StyleSpec& style, const StyleGrade& grade);

  [[nodiscard]] const std::vector<GirthLine>& lines() const { return lines_; }
  // The edges of a piece that a seam names, by index.
  [[nodiscard]] const std::vector<std::size_t>& sewn(std::size_t piece) const { return sewn_[piece]; }
  // Without anything in it.
  [[nodiscard]] StyleLooks none() const;
  // From any thread.
  [[nodiscard]] PieceLook look(const MadePiece& made, SheetTrial trial = SheetTrial::kHere) const;
  // Makes and looks at every piece in every cell; threads:
  // 0 for one per core. The result does not depend on them.
  [[nodiscard]] StyleLooks all(unsigned threads) const;

 private:
  const StyleGrade& grade_;
  std::vector<GirthLine> lines_;
  std::vector<std::vector<std::size_t>> sewn_;  // by piece: edges that a seam names
  std::vector<bool> mirrored_;                  // by piece: its sample is its own mirror image
};

}  // namespace lastwright
