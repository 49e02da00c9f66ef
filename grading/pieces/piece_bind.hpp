// Binds the pieces of a style to their drawings, and accounts for everything the drawings hold.
//
// A piece's outline is the one closed contour that fits what the style says of it: the layer if given (else
// any layer whose role is the boundary), the block if given, and a point inside if given (then, of several,
// the smallest). What else belongs to it is decided by one rule, in grading/pieces/drawing/ownership: block, then
// layer, then the smallest outline that holds it. A piece that says where it lies is then moved there, with
// everything that is drawn in it (grading/pieces/place/piece_lie); all that follows is in the frame of its forme.
#pragma once

#include <map>
#include <span>
#include <string>
#include <vector>

#include "grading/pieces/bound_piece.hpp"
#include "grading/pieces/drawing/drawing_account.hpp"
#include "grading/pieces/drawing/pattern_drawing.hpp"
#include "grading/pieces/place/piece_lie.hpp"
#include "grading/sizes/size_run.hpp"

namespace lastwright {

// Refuses, with the contours that come near: no contour or several that fit, an open one (with its gap), one
// that crosses itself, corners that do not fit (grading/pieces/drawing/outline_split), a cut-out that is open, one or
// a hole that crosses the outline or lies outside it, a nick away from the outline. The outline is the one
// that is drawn, net or cut. `spec` has passed check_style.
// `lying`: the pieces that it says it lies on. `allowances`: of the base size, by which the corners and edges
// of a piece drawn cut are found that say where it lies; not added and not taken off.
Result<BoundPiece> bind_piece(const PieceSpec& spec, const FormeSpec& forme, const PatternDrawing& drawing,
                              const PiecesByName& lying = {}, std::span<const Millimetres> allowances = {});

struct BoundStyle {
  std::vector<BoundPiece> pieces;  // in the order of the style, as far as they could be bound
  std::vector<Problem>
      problems;  // each names the piece; its file is the drawing, or empty with a pointer into the style
  // What was taken by place alone where several pieces lie
  // over each other; pieces that lie half off their forme.
  std::vector<std::string> notes;
  std::vector<DrawingAccount> accounts;  // of every drawing, by its key; each adds up
};
// All pieces, each as the net line of the base: of those whose drawing shows the cut line it is recovered
// (grading/pieces/net/net_recovery) by the allowances of the base size, which `run` knows. `drawings` by their
// key in the style; one that is missing is a fault of the caller. A hole, cut-out or notch that lies in no
// outline at all is a problem too, with its place and the nearest piece: it was meant for one. Any other
// thing that lies in none, or belongs to a boundary that no piece uses, is left out in the account.
BoundStyle bind_pieces(const StyleSpec& style, const std::map<std::string, PatternDrawing>& drawings,
                       const SizeRun& run);
// The same, but for the net lines: each piece as it is drawn.
BoundStyle bind_as_drawn(const StyleSpec& style, const std::map<std::string, PatternDrawing>& drawings);

}  // namespace lastwright
