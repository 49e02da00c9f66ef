// Whether each drawing of a draft is read in the unit it was drawn in.
//
// Two things show it. Pieces whose names say that they are a sole or a main part of an upper have a length
// that goes with the stick length of the base size or, where none is given, with that of one shoe to which
// the other drawings could belong. And bent edges of two drawings that are alike, but 25.4, 10 or 2.54 times
// as long, are mates in two units. What only small parts and names of no trade show is not judged: a small
// piece may be in a drawing of its own.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geometry/result.hpp"
#include "grading/draft/draft_piece.hpp"

namespace lastwright {

struct UnitAsRead {
  std::string key;  // as DraftPiece::drawing has it
  std::string file;
  double unit_in_mm = 1.0;
  bool from_file = false;        // else from --units
  double file_unit_in_mm = 0.0;  // 0: it says none
};
struct BaseStick {
  std::string size;
  double length = 0.0;  // mm
};

// Refuses the first drawing that is read in another unit, with what would fit and how that is stated.
Status units_hold(const std::vector<UnitAsRead>& drawings, const std::vector<DraftPiece>& pieces,
                  const std::optional<BaseStick>& base);

}  // namespace lastwright
