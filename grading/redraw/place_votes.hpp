// What pieces say of where a place of the style is now.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <vector>

#include "geometry/io/paper/plane_affine.hpp"
#include "grading/pieces/bound_piece.hpp"
#include "grading/pieces/place/place_home.hpp"
#include "grading/redraw/corner_match.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

inline constexpr double kOnDrawn =
    0.05;  // mm: what lies this near to a line of the old drawing was put on it

struct PlaceVote {
  std::string from;  // "vamp, corner toe"
  Vec2 was;          // as it was drawn
  CornerFound found;
};
using PlaceVotes = std::map<std::string, std::vector<PlaceVote>>;  // by the place's JSON pointer

// From a forme back to where a piece that was laid on it is drawn.
PlaneAffine as_drawn(const PieceLie& lie);

// Of a piece that is laid: the points of its forme at which its corners lie, as far as these have moved
// there, and those on its outline that it has left: these go to the same share of their edge where they may
// `slide` (CornerMatchOptions), and are refused else. Points that others have `spoken` of, by their pointer,
// are theirs. `before`, `after`: as it lies on its forme.
void vote_by_laid(const PieceSpec& piece, const FormeSpec& forme, const BoundPiece& before,
                  const BoundPiece& after, const std::function<bool(const std::string&)>& spoken, bool slide,
                  PlaceVotes& votes);

}  // namespace lastwright
