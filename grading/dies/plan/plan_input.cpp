#include "grading/dies/plan/plan_input.hpp"

#include <algorithm>

#include "grading/grade/grade.hpp"
#include "grading/grade/lay.hpp"

namespace lastwright {

DiePlanInput plan_input(const StyleSpec& style, const DieRules& rules, const DiePlaces& places,
                        const StyleGrade& grade, std::vector<OwnedDie> owned) {
  DiePlanInput input;
  input.style = &style;
  input.rules = &rules;
  input.places = places;
  input.owned = std::move(owned);
  const auto edges = [&style](std::size_t piece) {
    return std::max<std::size_t>(1, style.pieces[piece].edges.size());
  };
  input.outline = [&grade, edges](std::size_t piece, std::size_t place) -> Result<DieOutline> {
    const Result<GradedPiece> cut = grade.cut_piece(piece, place);
    if (!cut) return cut.problem();
    DieOutline outline{die_shape_of(*cut), edge_lengths(grade.drawn_piece(piece, place).net, edges(piece))};
    if (pinned_corner(grade, piece)) outline.fold_lay = lay_of(grade, piece, place).turn;
    return outline;
  };
  for (std::size_t p = 0; p < style.pieces.size(); ++p) {
    input.base_edges.push_back(edge_lengths(grade.drawn_piece(p, grade.base_cell()).net, edges(p)));
  }
  return input;
}

}  // namespace lastwright
