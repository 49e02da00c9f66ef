// A graded piece sorted by what the sewn-products convention makes of it.
#pragma once

#include <optional>
#include <utility>
#include <vector>

#include "grading/pieces/graded_piece.hpp"
#include "grading/sewn/sewn_points.hpp"

namespace lastwright {

// One size of a piece, sorted by what the convention makes of it.
struct SewnSorted {
  Track boundary;
  std::vector<Track> internal;
  std::vector<Track> cut_outs;
  std::vector<Track> sew;
  std::vector<Vec2> notches;
  // Tell the size or the width: another number of them in each, so no rule moves them.
  std::vector<Vec2> size_notches;
  std::vector<Vec2> drills;
  std::optional<std::pair<Vec2, Vec2>> grain;
};

// In the order of the piece.
SewnSorted sorted(const GradedPiece& piece);

ClosedArcPath closed_path(const Track& track);
OpenArcPath open_path(const Track& track);

}  // namespace lastwright
