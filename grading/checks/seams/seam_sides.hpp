// What the two sides of a seam have to agree in besides their lengths.
//
//   closed, open and bagged seams: their allowances, which are laid edge on edge        seam allowances
//   a lap: as wide as the stitch rows of the piece on it need, where it states any      lap width
//   pieces that lie on each other: eyelets that both state along the seam               eyelets meet
//   the same where one alone states them, over the other's material                     eyelets alone
//   edges that run on over the end of a seam: allowances alike in the sample are so
//   elsewhere                                                                           allowance step
//
// Edges on a fold are no sides: nothing is sewn there.
#pragma once

#include <cstddef>
#include <vector>

#include "geometry/vec2.hpp"
#include "grading/features/feature_place.hpp"
#include "grading/style/piece_spec.hpp"

namespace lastwright {

// The holes of a row of eyelets that the style strings along edges.
struct EdgeHoles {
  std::size_t feature = 0;
  std::vector<Vec2> at;
};
std::vector<EdgeHoles> holes_along_edges(const PieceSpec& piece, const std::vector<PlacedFeature>& features);

// The farthest that a hole of one list lies from the nearest of the other, both ways; infinite where one
// alone is empty.
double worst_miss(const std::vector<Vec2>& one, const std::vector<Vec2>& other);

}  // namespace lastwright
