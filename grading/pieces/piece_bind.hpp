// Binds the pieces of a style to their drawings.
//
// A piece's outline is the one closed contour that fits what the style says of it: the layer if given (else
// any layer whose role is the boundary), the block if given, and a point inside if given (then, of several,
// the smallest). What else the piece is made of stands in the same block; in drawings without blocks it lies
// inside the outline and inside no smaller one.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "grading/pieces/bound_piece.hpp"
#include "grading/pieces/pattern_drawing.hpp"
#include "grading/sizes/size_run.hpp"

namespace lastwright {

// Refuses, with the contours that come near: no contour or several that fit, an open one (with its gap), one
// that crosses itself, corners that do not fit (grading/outline_split), a cut-out that is open, a nick away
// from the outline. The outline is the one that is drawn, net or cut. `spec` has passed check_style. Whatever
// belongs to the piece and is not used stands in its notes.
Result<BoundPiece> bind_piece(const PieceSpec& spec, const FormeSpec& forme, const PatternDrawing& drawing);

struct BoundStyle {
  std::vector<BoundPiece> pieces;  // in the order of the style, as far as they could be bound
  std::vector<Problem>
      problems;  // each names the piece; its file is the drawing, or empty with a pointer into the style
  std::vector<std::string> notes;  // boundaries in the drawings that no piece uses
};
// All pieces, each as the net line of the base: of those whose drawing shows the cut line it is recovered
// (grading/pieces/net_recovery) by the allowances of the base size, which `run` knows. `drawings` by their
// key in the style; one that is missing is a fault of the caller.
BoundStyle bind_pieces(const StyleSpec& style, const std::map<std::string, PatternDrawing>& drawings,
                       const SizeRun& run);

}  // namespace lastwright
