// Edges as they lie in the base, for checks that look for others beside them.
#pragma once

#include <functional>
#include <vector>

#include "geometry/curve/arc_path.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct BaseEdge {
  std::size_t piece = 0;  // of the grade
  std::size_t edge = 0;
  OpenArcPath path;  // its net line, on the sheet of its forme
  Box2 box;          // grown by kOnFeather
  double length = 0.0;
};

// In the order of pieces and edges those that are asked for and at least so long, mm.
std::vector<BaseEdge> base_edges(const StyleGrade& grade, double least,
                                 const std::function<bool(const PieceSpec&, const EdgeSpec&)>& asked);

}  // namespace lastwright
