// A piece made ready for the whole size run: everything that moves, as nodes that are linear in the drivers.
//
// Every curve of the piece is cut into spans. A span's ends are nodes: a position and a unit tangent in the
// drawing, and for each driver how both change. A graded node is then base + basis * drivers, for all nodes
// and the whole run in one matrix product, and a graded span is the biarc through its two nodes: end points
// and tangents are exactly those of the map, and what is cut is already made of true arcs. Spans are split
// until the biarc stays within the tolerance of the exact map in every probe (the corners, the edge middles
// and the base of the run), so one subdivision serves every size and width.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "geometry/map/columns.hpp"
#include "geometry/result.hpp"
#include "geometry/units.hpp"
#include "grading/grade/grade_map.hpp"
#include "grading/pieces/bound_piece.hpp"
#include "grading/pieces/graded_piece.hpp"

namespace lastwright {

struct ShapeSpan {
  std::uint32_t from = 0;  // node indices
  std::uint32_t to = 0;
  bool straight = false;  // one line whatever the tangents say
};
using ShapePath = std::vector<ShapeSpan>;

struct PieceShape {
  std::vector<ShapePath> edges;  // as BoundPiece::edges; likewise the next three
  std::vector<ShapePath> lines;
  std::vector<ShapePath> loops;
  std::vector<ShapePath> cut_outs;
  std::vector<std::uint32_t> holes;  // node of each hole's centre; likewise the next three
  std::vector<std::uint32_t> nicks;  // with the outline's tangent
  std::vector<std::uint32_t> texts;
  std::vector<std::uint32_t> spots;
  std::vector<std::uint32_t> grain;  // its two ends, or empty

  std::vector<double> base;  // 4 per node: x, y, tangent x, tangent y
  Columns basis;             // 4 x nodes rows, one column per driver

  double worst_fit = 0.0;       // farthest a probe's biarcs leave the exact map, millimetres
  double worst_straight = 0.0;  // farthest the exact map leaves an edge that is drawn straight
};

struct ShapeOptions {
  Millimetres fit{0.005};              // tolerance::kMapped
  Millimetres straight_in_base{0.05};  // an edge declared straight may be drawn this far off its chord
};

// Fails when an edge declared straight is not drawn straight, or a curve cannot be brought within the
// tolerance (a map that folds there).
Result<PieceShape> make_piece_shape(const BoundPiece& piece, const GradeMap& map,
                                    std::span<const Drivers> probes, const ShapeOptions& options);

// Nodes of one size and width: base + basis * drivers.
using ShapeNodes = std::span<const double>;
std::vector<double> shape_nodes(const PieceShape& shape, const Drivers& drivers);

// The net outline, internal lines, cut-outs, holes and texts
// at these nodes. The cut outline is left equal to the net.
GradedPiece shaped_piece(const BoundPiece& piece, const PieceShape& shape, ShapeNodes nodes,
                         const SizeWidth& at);

// Puts into the piece, in the place of each cut-out it has at `nodes`, the one that the shape has at `as`,
// moved and turned as a whole so that its line lies nearest (least squares over its length) to where the piece
// has it.
void hold_cut_outs(const PieceShape& shape, ShapeNodes as, ShapeNodes nodes, GradedPiece& piece);

// Where a node lies.
Vec2 shaped_point(ShapeNodes nodes, std::uint32_t node);

// The spans as an open path.
OpenArcPath shaped_path(const ShapePath& path, ShapeNodes nodes);

}  // namespace lastwright
