// Lays a piece that is drawn elsewhere on its sheet onto its forme, before anything else is made of it.
#pragma once

#include <map>
#include <span>
#include <string>

#include "geometry/curve/outline.hpp"
#include "geometry/io/paper/plane_affine.hpp"
#include "geometry/map/point_fit.hpp"
#include "grading/pieces/bound_piece.hpp"
#include "grading/pieces/drawing/pattern_drawing.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

using PiecesByName = std::map<std::string, const BoundPiece*>;

struct FoundLie {
  PlaneAffine motion;  // from the drawing to the forme
  PieceLie lie;
};

// By least squares over the places that meet; an edge counts by nine of its places. Refuses a place that is
// not on the outline, places too close together to tell the turn, and what misses by more than the limit.
// `drawn`: the outline as drawn. `lying`: pieces of the forme, among them those the piece is to meet.
// `allowances`: of the base size, one for each edge; given them, a piece drawn cut lies by its net line.
// Precondition: the piece's "lies" says what meets what; the style has passed check_style.
Result<FoundLie> find_lie(const PieceSpec& spec, const FormeSpec& forme, const ClosedOutline& drawn,
                          const PiecesByName& lying, std::span<const Millimetres> allowances = {});

// How a sheet is laid, and how a piece was.
PlaneAffine motion_of(const DrawingPose& sheet);
PlaneAffine motion_of(const PieceLie& lie);
// Everything of the drawing, elsewhere. Texts keep their base line; turned over they stay readable.
PatternDrawing moved(const PatternDrawing& drawing, const PlaneAffine& motion);
// The coordinates that the style gives of the piece, with the angles of what stands at them.
PieceSpec moved(PieceSpec spec, const PlaneAffine& motion);

// Places at equal distances along a chain, both ends included.
std::vector<Vec2> evenly_along(const OpenChain& chain, std::size_t count);
// Lays one edge on another, given by places along both: whichever way round is nearer. Of two that are as
// near, the one that walks them in opposite directions: the pieces then lie side by side.
struct EdgeFit {
  PointFit fit;
  bool opposite = true;
};
EdgeFit fit_edge(const std::vector<Vec2>& moving, const std::vector<Vec2>& still, bool mirrored);

}  // namespace lastwright
