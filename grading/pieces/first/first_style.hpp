// A first style from a bare drawing, so that nobody starts from a blank page.
//
// Every closed boundary becomes a piece with corners where its tangent breaks. There is one forme whose base
// line is the bottom of the drawing's box, and the grade is in proportion: along it by the stick length,
// across it by the ball girth. Where there are no problems, the style loads and grades as it stands;
// everything that was guessed is listed, to be confirmed by people. What the drawing holds is bound and
// accounted for as when the style is loaded: each entity is used by a piece, left out by name, or an error.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geometry/tolerance.hpp"
#include "grading/pieces/bound_piece.hpp"
#include "grading/pieces/drawing/drawing_account.hpp"
#include "grading/pieces/drawing/pattern_drawing.hpp"
#include "grading/pieces/first/first_marks.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

struct FirstStyleOptions {
  std::string name;  // of the style
  std::string drawing_key = "drawing";
  std::string drawing_file;                         // as the style shall name it
  std::string units;                                // "" when the drawing says; else "mm", "cm", "in"
  Millimetres chain_gap = DrawingSpec{}.chain_gap;  // loose ends this close are joined
  Radians corner_angle = tolerance::kCorner;        // edges that turn by less at a vertex are one edge
  // What closed lines inside an outline on its own layer are: a role as in DrawingSpec::inside, or "pieces".
  // "": nobody said; then they are pieces on the published boundary layer, and elsewhere they are lost.
  std::string inside;
  std::string edge_lines = {};        // as DrawingSpec::edge_lines
  std::optional<FairSpec> fair = {};  // curves drawn in short chords become arcs
};

struct FirstStyle {
  StyleSpec style;
  std::vector<std::string> guesses;       // one line each
  std::vector<std::string> read_guesses;  // of them those about the drawing: layers, names, corners
  // What may well be wrong: open outlines, pieces too small, units, what is left out but for mirror lines.
  std::vector<std::string> warnings;
  std::vector<std::string> lost;  // what may be a piece or be cut out of one, and did not come through
  std::vector<Problem> problems;  // in the drawing: until they are mended the style does not load
  DrawingAccount account;
  PatternDrawing drawing;         // as the style will read it
  std::vector<BoundPiece> bound;  // as drawn; those that could be bound
  std::vector<TextedMark> marks;  // places that a text beside them names
};

// Refuses a drawing without a single sound closed contour, or where all closed ones are too small for a piece
// and larger ones are open, saying what is wrong with each.
Result<FirstStyle> first_style(Drawing drawing, const FirstStyleOptions& options);

}  // namespace lastwright
