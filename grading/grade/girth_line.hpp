// The lines of a style's girths, where they lie in every size and width.
#pragma once

#include <cstddef>
#include <vector>

#include "geometry/curve/arc_path.hpp"

namespace lastwright {

struct StyleGrade;
struct StyleSpec;

struct GirthLine {
  std::size_t girth = 0;  // index into the style's girths
  std::size_t forme = 0;
  double times = 1.0;      // as often does the girth count it
  std::vector<Vec2> from;  // by cell of the grade
  std::vector<Vec2> to;
};

// One for each part of each girth, in their order.
std::vector<GirthLine> girth_lines(const StyleSpec& style, const StyleGrade& grade);

// A part of a line, in mm from its start.
struct Stretch {
  double from;
  double to;
};
// Those parts of a straight line that lie inside an outline, in order; none of a line without length.
std::vector<Stretch> stretches_inside(const ArcSegment& line, const ClosedArcPath& outline);

}  // namespace lastwright
