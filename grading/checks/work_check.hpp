// What is worked along edges, beside what others of the style have there: one that is left out, or has gone
// to another edge.
//
//   no stitches     of the pieces of a layer that lie on a lap of another, one alone has no stitch line along
//                   some of these edges
//   no skive        of the pieces that lap under another of their layer, one alone has no skive there; a
//   piece
//                   whose folded edges have none, and other edges of it have; a piece whose laps have none,
//                   and its sewn edges have
//   no size marks   of the lasted pieces of a layer, one alone has no size marks
//   off the middle, hole pitch  of a strap (grading/checks/features/strap_check)
//
// A drawn line may be a stitch line: a piece that has some is not judged for stitches. What two pieces lack,
// or one where hardly any have it, may be the works' way.
#pragma once

#include <string>
#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct StyleSpec;

inline constexpr std::size_t kHabit = 3;  // others that have it: fewer are no habit

// Whether a stitch line is stated along this edge; and whether some are drawn, wherever they run.
bool stitched(const PieceSpec& piece, const std::string& edge);
bool has_drawn_stitches(const BoundPiece& piece);

// Doubtful ones alone.
std::vector<StyleFinding> check_work(const StyleSpec& style, const StyleGrade& grade);

}  // namespace lastwright
