// Single holes: their size, and whether those of pieces that lie on each other meet.
//
// Eyelets that are strung along the edges of a seam are compared there (grading/checks/seams/seam_sides). All
// others are looked at by twos: a hole that a feature or the drawing states, and the nearest of another piece
// on the same forme, each the other's nearest, about as wide and within kHoleReach of it in the sample. Two
// of one name, or two drawn ones of one width where each piece has as many, are farther apart by mistake.
// Pieces of one layer are not punched together, unless a seam lays them on each other. Where some holes of a
// piece have their like on one below, or on its copy for the other side of the shoe, and one as wide that
// lies over it has none, that one stands alone.
#pragma once

#include <string>
#include <vector>

#include "geometry/vec2.hpp"
#include "grading/features/feature_place.hpp"
#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"
#include "grading/pieces/graded_piece.hpp"

namespace lastwright {

struct StyleSpec;
struct PieceLook;

inline constexpr double kHoleReach = 3.0;     // mm; holes that are meant to meet are stated nearer than this
inline constexpr double kNamedReach = 15.0;   // mm; farther apart, one name stands for two things
inline constexpr double kSmallestHole = 0.5;  // mm wide: the finest punches and perforating needles
inline constexpr double kLargestHole = 12.0;  // mm wide: eyelets, rivets and hooks take less; common practice

// A hole that stands alone: of a feature that is one hole, or drawn.
struct SingleHole {
  Vec2 at;
  double radius = 0.0;
  std::string name = {};  // of its feature; empty: it is drawn
};
// In the order of the features, then as drawn: the same in every size and width.
std::vector<SingleHole> single_holes(const PieceSpec& piece, const GradedPiece& drawn,
                                     const std::vector<PlacedFeature>& features);

// Doubtful ones alone: holes narrower than any punch or wider than eyelets and rivets take, and holes that
// miss each other by more than the style's "holes_meet" somewhere in the run.
std::vector<StyleFinding> check_holes(const StyleSpec& style, const StyleGrade& grade,
                                      const std::vector<std::vector<PieceLook>>& looks);

}  // namespace lastwright
