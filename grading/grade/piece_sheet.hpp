// A graded piece as a drawing: what the DXF, SVG and PDF writers take.
#pragma once

#include "geometry/io/die_drawing.hpp"
#include "grading/pieces/graded_piece.hpp"

namespace lastwright {

struct SheetOptions {
  bool net_line = true;  // draw the net line inside a cut line that lies apart from it
  // Nicks with a mouth become part of the cut line. Off: a die maker welds nick tools to the rule and wants
  // each on its own layer; on: for a cutting table that follows one line. Slits have no mouth and stay apart.
  bool merge_nicks = false;
};

// As it is drawn. A prick has no size: a fine circle shows where the point goes.
SheetHole sheet_hole(const GradedHole& hole);

// "vamp 8.5 F".
std::string title_of(const GradedPiece& piece);
Sheet sheet_of(const GradedPiece& piece, const SheetOptions& options = {});

}  // namespace lastwright
