// Pieces that lie on or at each other, as those of one forme do.
#pragma once

#include <cstddef>
#include <vector>

#include "grading/draft/draft_piece.hpp"

namespace lastwright {

// Of one drawing those that overlap or touch, uppers and bottoms apart where their names tell; of several
// drawings those that have two corners or more in common places, or lie over each other as soles do.
std::vector<std::vector<std::size_t>> piece_groups(const std::vector<DraftPiece>& pieces);

// As long as a foot and as wide, without corners to speak of.
bool sole_shaped(const DraftPiece& piece);

struct FarPair {
  Vec2 a;
  Vec2 b;
  double distance = 0.0;
};
// The two points farthest from each other.
FarPair farthest_points(const std::vector<Vec2>& points);

}  // namespace lastwright
