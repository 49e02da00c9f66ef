// A piece bound to its drawing: the outline cut into named edges, and everything drawn inside it.
//
// Made by grading/pieces/piece_bind. All coordinates are millimetres in the frame of the piece's forme, which
// is the frame of its drawing. Nothing here is graded yet.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "geometry/curve/outline.hpp"
#include "geometry/io/die_drawing.hpp"
#include "geometry/io/drawing.hpp"
#include "grading/style/piece_spec.hpp"

namespace lastwright {

struct BoundEdge {
  EdgeSpec spec;
  OpenChain chain;  // counter-clockwise, from the corner spec.from to the corner spec.to
};

// An internal line: sew line, guide, prick line.
struct BoundLine {
  OpenChain chain;
  Operation operation = Operation::kGuide;
  DrawnFrom from;
};

// A closed line inside the piece that is not a cut-out: a closed stitch line, a frame round a logo.
struct BoundLoop {
  ClosedOutline outline;
  Operation operation = Operation::kGuide;
  DrawnFrom from;
};

struct BoundCutOut {
  ClosedOutline outline;  // counter-clockwise, like every outline
  DrawnFrom from;
};

// A punched hole: keeps its radius in every size. A drill hole drawn as a POINT is a prick, radius 0.
struct BoundHole {
  Vec2 centre;
  double radius = 0.0;
  Operation operation = Operation::kHole;
  DrawnFrom from;
};

// A notch: a place on the net or cut outline as drawn.
struct BoundNick {
  Vec2 at;                // on the outline
  std::size_t edge = 0;   // index into BoundPiece::edges
  std::size_t curve = 0;  // index into that edge's curves
  double t = 0.0;         // parameter on that curve
  DrawnFrom from;
  double depth =
      0.0;  // mm, of one drawn as a straight line square to the edge, within 30 degrees; 0: not said
};
inline constexpr double kLeastDrawnNick = 0.5;  // mm: shorter lines show a place alone
inline constexpr double kMostDrawnNick = 15.0;  // mm: longer ones are no nicks' depths
inline constexpr double kUsualNick = 3.0;       // mm, common practice: of a nick whose drawing says no depth

struct BoundText {
  Vec2 at;  // left end of the base line
  double height = 3.0;
  Radians angle;
  std::string text;
  DrawnFrom from;
};

// A straight line that gives a direction: the grain, a mirror line.
struct BoundAxis {
  Vec2 from;
  Vec2 to;
  DrawnFrom drawn;
};

// How a piece that is drawn elsewhere was laid on its forme.
struct PieceLie {
  double turn =
      0.0;  // degrees, counter-clockwise, after it was turned over in the y axis where it is mirrored
  bool mirrored = false;
  Vec2 shift;          // mm, after the turn about the origin of the drawing
  double worst = 0.0;  // mm: the farthest that a place misses what it meets
  std::size_t places = 0;
};

struct BoundPiece {
  PieceSpec spec;  // coordinates in the frame of the forme
  std::optional<PieceLie> lie;
  std::vector<BoundEdge>
      edges;  // in counter-clockwise order; together the whole outline, each starting where the last ended
  std::vector<BoundLine> lines;
  std::vector<BoundLoop> loops;
  std::vector<BoundCutOut> cut_outs;
  std::vector<BoundHole> holes;
  std::vector<BoundNick> nicks;
  std::vector<BoundText> texts;
  std::vector<Vec2> spots;  // further places that grade with the forme: those its features lie at
  std::optional<BoundAxis> grain;
  std::vector<BoundAxis> mirrors;  // straight ones, the longest first
  std::vector<std::string> notes;  // what was read past or taken differently, for the report
};

// Index of the edge on the fold of a piece that is cut double.
std::optional<std::size_t> fold_edge(const BoundPiece& piece);

}  // namespace lastwright
