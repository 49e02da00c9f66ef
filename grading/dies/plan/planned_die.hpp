// A die of a plan, of a candidate that was chosen: which foot's are there, what it serves and what is drawn
// of it.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "grading/dies/die_hands.hpp"
#include "grading/dies/order/die_making.hpp"
#include "grading/dies/plan/die_candidates.hpp"

namespace lastwright {

struct PlannedDie {
  std::size_t piece = 0;
  std::size_t candidate = 0;  // place number, or places + owned number
  SizeWidth at;               // for owned dies: whose outline they are, else the size and width nearest to it
  bool between = false;
  std::optional<std::size_t> owned;        // index into the owned dies
  bool seams_estimated = false;            // owned, and no outline of the grade: its net line is not known
  std::optional<std::size_t> owned_other;  // the die of the other foot, where each was found by itself
  // Of these two: its own order called as drawn what the piece's drawing shows mirrored now.
  bool turned = false;
  bool other_turned = false;
  // Of these two: what its drawing says is stamped on it are sizes and widths of which it fits none.
  bool stamped_apart = false;
  bool other_stamped_apart = false;
  bool make_drawn = true;      // ordered for the drawn foot
  bool make_mirrored = false;  // ordered for the other foot
  int quantity = 1;            // of each die to make
  [[nodiscard]] int to_make() const { return quantity * ((make_drawn ? 1 : 0) + (make_mirrored ? 1 : 0)); }
  // Those to make and those that are there.
  [[nodiscard]] int dies() const {
    return to_make() + hands.dies() - (make_drawn ? 1 : 0) - (make_mirrored ? 1 : 0);
  }
  std::vector<std::uint32_t> serves;  // demands
  DieShape shape;                     // what is drawn: size marks only where they are true of all it serves
  Radians lay{0.0};                   // on pictures: the fold of a piece cut double lies level or upright
  double box_length = 0.0;  // mm, the longer side of the box along the fold, without one of the smallest box
  double box_width = 0.0;
  DieFacts facts;
  DieWork work;
  std::vector<DieFinding> findings;
  // What the nicks would tell of all that it serves, where it could have them and has none.
  NickTells untold;
  double worst_ratio = 0.0;      // greatest share of a tolerance that is used up
  double worst_deviation = 0.0;  // mm
  std::uint32_t worst_at = 0;    // the demand where
  HandChoice hands;
};

// How a candidate serves left and right, where its piece as a whole is cut so: one that is there is what it
// is.
HandChoice hands_of(const DiePlanInput& input, const PieceCandidates& candidates, std::size_t c,
                    const HandChoice& hands);

// Which foot an owned die cuts where its piece is cut so.
OwnedFoot owned_foot(const DiePlanInput& input, const PieceCandidates& candidates, std::size_t owned,
                     const HandChoice& hands);

// How many of a candidate's dies are there already: 0, 1 or both.
int owned_dies(const DiePlanInput& input, const PieceCandidates& candidates, std::size_t c,
               const HandChoice& hands);

// Of these demands, ascending, each of which the candidate serves; hands as of hands_of().
PlannedDie planned_die(const DiePlanInput& input, std::size_t piece, const PieceCandidates& candidates,
                       std::size_t c, std::vector<std::uint32_t> serves, const HandChoice& hands);

}  // namespace lastwright
