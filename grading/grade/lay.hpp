// How a graded piece lies on paper.
//
// A piece keeps the frame of its forme everywhere but on pictures and plots. There a piece that is cut double
// is turned until its fold is level or upright, whichever is nearer in the base, with one end of the fold
// pinned to the origin: all sizes of it lie fold on fold. Every other piece stays where it is.
#pragma once

#include <optional>
#include <string>

#include "grading/grade/grade.hpp"

namespace lastwright {

// Turned about the origin, then moved.
struct Lay {
  Radians turn{0.0};
  Vec2 shift;
  bool operator==(const Lay&) const = default;
};

// The lay of one size and width. Only turns and moves: true scale stays true scale.
Lay lay_of(const StyleGrade& grade, std::size_t piece, std::size_t cell);

// Name of the corner that is pinned: the end of the fold nearer to the forme's fixed point. Nothing for a
// piece that is not cut double.
std::optional<std::string> pinned_corner(const StyleGrade& grade, std::size_t piece);

// Where the point lies that keeps its place in every size,
// in the lay: the pinned corner, or the forme's fixed point.
Vec2 kept_point(const StyleGrade& grade, std::size_t piece);

// Where the lay turns a piece, its texts are set level round their middles, so that they can be read.
GradedPiece laid(GradedPiece piece, const Lay& lay);

}  // namespace lastwright
