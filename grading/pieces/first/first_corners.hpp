// Corners and edges for the pieces of a first style.
#pragma once

#include <string>
#include <vector>

#include "geometry/curve/outline.hpp"
#include "geometry/tolerance.hpp"
#include "grading/pieces/bound_piece.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// Rounded to the 0.0001 mm that a style is written with.
Vec2 style_place(Vec2 p);

inline constexpr double kShortestEdge = 0.5;  // mm: nobody cuts, sews or names a shorter one

// Gives the piece a corner c1, c2, ... wherever its outline turns by more than `least`, one at least, and the
// edges e1, e2, ... between them. What would be an edge shorter than kShortestEdge is joined to one beside
// it: rather not to a straight line, which may be a fold, and at the corner that turns less. What is doubtful
// about them is added to the guesses.
void add_corners(const ClosedOutline& outline, Radians least, PieceSpec& piece,
                 std::vector<std::string>& guesses);

// The edge on which a mirror line lies is the fold: tells the piece, and adds it to the guesses.
void find_fold(const BoundPiece& bound, PieceSpec& piece, std::vector<std::string>& guesses);

}  // namespace lastwright
