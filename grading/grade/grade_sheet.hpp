// The grade sheet: where every named point goes, size by size and width by width.
#pragma once

#include <string>
#include <vector>

#include "grading/grade/grade.hpp"

namespace lastwright {

struct GradeSheetRow {
  std::string on;  // the forme, or the piece whose corner it is
  std::string point;
  SizeWidth at;
  Vec2 position;   // in the frame of the drawing, millimetres
  Vec2 from_base;  // how far it moved from the base
  Vec2 per_size;   // how far it moves to the next size that this width is made in; zero for the largest
  Vec2 per_width;  // how far it moves to the next width, in this size; zero for the widest
};

// Formes first, then pieces, both in the order of the style; within a point sizes outermost.
std::vector<GradeSheetRow> grade_sheet(const StyleGrade& grade);

}  // namespace lastwright
