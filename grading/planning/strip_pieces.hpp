// Pieces in whole rows on rolls and sheets: how many a metre or a sheet holds.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geometry/fill/strip_family.hpp"
#include "grading/planning/scale_area.hpp"
#include "grading/planning/works.hpp"

namespace lastwright {

// One piece in one size and width, with the rows found for it alone. On a sheet rows may run across it too:
// the grain stays where it is.
struct StripPiece {
  std::string material;
  double turn = 0.0;  // radians by which the drawing is turned for the rows along
  LatticeShape along;
  std::vector<LatticeKind> kinds;
  StripLay lay;
  std::vector<StripLay> others;        // on a roll: other rows that may do for few pieces
  Vec2 box;                            // of the outline with the gap: along and across the rows along
  std::optional<LatticeShape> across;  // of a sheet, turned by a quarter
  std::vector<LatticeKind> kinds_across;
  StripLay lay_across;
};

// Fails where the outline cannot be grown by its gap. No rows where the piece does not lie within.
Result<StripPiece> strip_piece(const GradedPiece& made, const PieceSpec& piece, const MaterialSpec& material);

// Whatever lies inside another piece of its material, or is like it but smaller, is held at least as often
// (geometry/fill/strip_family.hpp).
void share_rows(const std::vector<StripPiece*>& pieces, const WorksSpec& works);

// Rows along a roll or a sheet, or across a sheet, as they were found: where the middles of the pieces' boxes
// lie, x along the rows and y from the middle of the strip; others of a row lie a period on. Second pieces
// are half turned or mirrored as the kind says.
struct StripRows {
  double turn = 0.0;  // radians by which the drawing is turned first
  LatticeKind kind = LatticeKind::kTranslated;
  double period = 0.0;
  std::vector<StripRow> rows;
  double length = 0.0;  // mm that one piece reaches along the rows, with half the gap before and behind it
  bool boxes = false;   // the pieces stand apart by their boxes: either hand may lie in any place
  bool operator==(const StripRows&) const = default;
};

// What a piece comes to: pieces a metre of roll or a sheet, the area of it that one takes, and how it is
// laid.
struct StripHold {
  double per_unit = 0.0;
  double area = 0.0;
  std::string laid;
  StripRows rows;
  std::vector<StripRows> other_rows;  // of a roll, for few pieces; those by the boxes are the last
};
std::optional<StripHold> held_in_strip(const StripPiece& piece, const MaterialSpec& material);

}  // namespace lastwright
