// Which layers of a bare drawing hold the outlines of pieces: a guess, for a first style.
#pragma once

#include <string>
#include <vector>

#include "grading/pieces/drawing/pattern_drawing.hpp"

namespace lastwright {

// No piece of a shoe is smaller than this both ways, in millimetres.
inline constexpr double kSmallestPiece = 15.0;

// Closed, and no smaller than that.
bool may_be_piece(const PatternContour& contour);

struct FirstBoundaries {
  std::vector<std::string> layers;  // that become boundaries, by name
  bool one_a_piece = false;         // some of them because they hold one closed line each
  // Closed contours that could be pieces, but are on none
  // of these layers, or inside an outline of its own layer.
  std::vector<std::size_t> beside;
  std::vector<std::size_t> inner;
};

// A drawing with closed boundaries on the published layers needs no further ones.
// In any other one a layer that nothing is known of holds boundaries if a closed
// line of it lies in no other closed line of the drawing, or if one closed line of
// it, of a size that a piece could have, holds all others, none of them half as
// large: then one layer is one piece, with what is cut and drawn in it.
FirstBoundaries first_boundaries(const PatternDrawing& drawing);

}  // namespace lastwright
