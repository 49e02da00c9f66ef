// What dies are planned from.
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "grading/dies/die_rules.hpp"
#include "grading/dies/owned/owned_die.hpp"
#include "grading/dies/plan/die_places.hpp"
#include "grading/pieces/graded_piece.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// What a die would be at one place of the grade.
struct DieOutline {
  DieShape shape;
  std::vector<double>
      edge_lengths;  // net, mm, by edge of the piece as it is drawn: a piece cut double counts its half
  std::optional<Radians> fold_lay = {};  // turn after which its fold is level or upright; none without a fold
};
// Called from several threads at once.
using OutlineAt = std::function<Result<DieOutline>(std::size_t piece, std::size_t place)>;
// Lengths of the edges of an outline, by edge.
std::vector<double> edge_lengths(const EdgedOutline& outline, std::size_t edges);

struct DiePlanInput {
  const StyleSpec* style = nullptr;
  const DieRules* rules = nullptr;
  DiePlaces places;
  OutlineAt outline;
  std::vector<std::vector<double>> base_edges;  // by piece, by edge: net lengths in the sample, mm
  std::vector<OwnedDie> owned;
  unsigned threads = 0;  // 0: one per core; the plan does not depend on it
};

// From a grade of `places.refined`. The style, the rules and the grade must outlive the input.
struct StyleGrade;
DiePlanInput plan_input(const StyleSpec& style, const DieRules& rules, const DiePlaces& places,
                        const StyleGrade& grade, std::vector<OwnedDie> owned);

}  // namespace lastwright
