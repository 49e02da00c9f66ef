// Of all the ways in which one piece could be laid by its edges, those that cannot be told apart: one, where
// the drawing says how it lies.
#pragma once

#include <string>
#include <vector>

#include "geometry/io/paper/plane_affine.hpp"
#include "grading/draft/lay_pieces.hpp"

namespace lastwright {

// An edge of a piece brought onto an edge, or onto the end of a longer edge, of a piece that lies.
struct EdgePlacing {
  LaidByEdge laid;
  PlaneAffine motion;
  bool beside = true;  // the two pieces lie side by side; else over each other
  double length = 0.0;
  bool straight = false;
  bool part = false;     // of the edge it lies on
  bool at_start = true;  // of that edge, where it lies on a part of it
  double runs_on = 0.0;  // 0 to 2: at how many ends of the edge the outline runs on
};

inline constexpr double kSameLength = 0.3;  // mm, of two edges that were drawn as one
inline constexpr double kSameCurve = 0.3;   // mm that the one may leave the other once it is laid

// All ways of one piece; each place once. What bent edges show comes first, then the closer fit by a clear
// margin, then the ends where the outline runs on (feather into feather, top line into top line), then what
// does not lie over a piece of its own layer.
std::vector<EdgePlacing> likeliest_lays(const std::vector<DraftPiece>& pieces,
                                        const std::vector<std::size_t>& lying, std::vector<EdgePlacing> ways);

// Of ways alike, those in which the pieces stand best as an upper does: the heel at the heel, low at the toe.
std::vector<EdgePlacing> best_standing(const std::vector<DraftPiece>& pieces,
                                       const std::vector<std::size_t>& lying, std::vector<EdgePlacing> ways);

// The piece as it lies once it is moved so.
DraftPiece moved_so(const DraftPiece& piece, const EdgePlacing& placing);

// mm of bends: how far an edge leaves its chord. Straighter than this it has no shape to be known by.
inline constexpr double kLeastBow = 1.0;
double bow(const DraftEdge& edge);

// "turned over and then by 30 degrees"
std::string told_motion(const EdgePlacing& placing);

}  // namespace lastwright
