// Graded pieces in the sewn-products convention
// (geometry/io/sewn/sewn_dxf.hpp): points with grade rules, and dense curves.
//
// Which points are numbered: the corners of every line, and on each curve between two corners points at the
// same shares of its length in every size, as many as it takes: straight lines from point to point, and
// splines through them, stay within a tolerance of the curve in every size. So a number means the same place
// in every size. The moves of a number are its places less its place in the base: no rule is fitted, every
// size is stated.
//
// Where a line has other corners in some size (a corner that melts away), or a piece has other lines or holes
// there (an eyelet row that gains one), those points carry no number; `unruled` counts them.
#pragma once

#include <string>
#include <vector>

#include "geometry/io/sewn/sewn_dxf.hpp"
#include "grading/pieces/graded_piece.hpp"

namespace lastwright {

struct SewnOptions {
  Millimetres tolerance{0.1};  // the lines through numbered points leave the true arcs by no more
  Millimetres dense{0.02};     // nor do the chords of the dense curve
};

struct SewnSet {
  std::vector<SewnPiece> pieces;  // in the order given
  std::vector<GradeRule> rules;   // of this piece
  std::size_t unruled = 0;        // points without a number, over all sizes
};

// What the drawing says of a piece besides its lines.
struct SewnNotes {
  std::vector<std::string> edges;  // names of the piece's edges, for the names of points
  std::vector<std::string> texts;  // "MATERIAL: calf 1.8 mm"
};

// All sizes and widths of one piece; `base` is the index of the one the moves start from. The cut line is the
// boundary; a net line that lies apart from it is a sew line. Refuses an empty list.
Result<SewnSet> sewn_set(const std::vector<GradedPiece>& sizes, std::size_t base, const SewnNotes& notes,
                         const SewnOptions& options = {});

struct RegradeCheck {
  std::size_t points = 0;  // moved by their rules and compared
  double largest = 0.0;    // how far one of them misses its place in the drawing, millimetres
  std::string where;       // "vamp 13 H, cut feather 3"
};

// Moves the points of every base piece by the rules and compares them with the other sizes of the drawing:
// both as read back from their files. Refuses a table that names a point or a size the drawing does not have,
// and a size whose points are numbered otherwise.
Result<RegradeCheck> regrade(const std::vector<SewnPiece>& drawing, const GradeRuleTable& rules);

}  // namespace lastwright
