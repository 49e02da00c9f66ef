// One graded piece on a page for people: net line, cut line with its allowance shaded, marks, grain, names,
// and a title block that says what it is. True scale.
#pragma once

#include <string>
#include <vector>

#include "grading/pieces/graded_piece.hpp"

namespace lastwright {

// One edge of the piece, in the piece's order.
struct EdgeNote {
  std::string name = {};       // "feather"
  std::string treatment = {};  // "lasting"
  double allowance = 0.0;      // millimetres
  std::string missing = {};    // what the cut line lacks of it: "2.9 mm missing over 14 mm"
  std::string seams = {};      // what it differs by from edges that it is sewn to: "0.40 mm shorter than ..."
};

struct PieceSheetInfo {
  std::string style = {};     // "Derby boot 41"
  std::string material = {};  // as the style states it
  std::string hand = {};      // "left drawn, right mirrored"
  int per_pair = 0;           // pieces cut for one pair; 0: not said
  std::string note = {};
  std::vector<EdgeNote> edges = {};  // named along the net line and listed; may be empty
};

std::string piece_sheet_svg(const GradedPiece& piece, const PieceSheetInfo& info);

}  // namespace lastwright
