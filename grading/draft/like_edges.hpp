// Edges of two drawings that have one shape in two sizes, as mates drawn in two units do.
#pragma once

#include <array>
#include <cstddef>
#include <string>
#include <utility>
#include <vector>

#include "grading/draft/draft_piece.hpp"

namespace lastwright {

// What one unit is of another among mm, cm and in.
inline constexpr std::array<double, 3> kUnitSteps{25.4, 10.0, 2.54};

// One way in which two drawings have edges alike.
struct LikeEdges {
  std::size_t large = 0;  // indices of two pieces of two drawings
  std::size_t small = 0;
  double length = 0.0;        // mm, of the longest such edge of the larger drawing
  double small_length = 0.0;  // of its like
  double times = 1.0;         // one of kUnitSteps
  std::size_t pairs = 0;      // of these two drawings, edges that are alike so
};

// Straight edges and arcs of a circle are all alike, and show nothing. Nothing is told where there are more
// than 2,000 edges that do show something.
struct AlikeDrawings {
  // One entry for each two drawings whose bent edges are alike at one of kUnitSteps, and at no other of them
  // nor at the same length.
  std::vector<LikeEdges> apart;
  // Drawings with bent edges that are alike as they are, each two once.
  std::vector<std::pair<std::string, std::string>> same;
};
AlikeDrawings alike_drawings(const std::vector<DraftPiece>& pieces);

}  // namespace lastwright
