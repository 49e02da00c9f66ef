// Edges as they lie in the base, for checks that look for others beside them.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "geometry/curve/arc_path.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

inline constexpr double kOnFeather = 0.06;  // mm; what is drawn to a tenth lies as near

struct BaseEdge {
  std::size_t piece = 0;  // of the grade
  std::size_t edge = 0;
  const EdgeSpec* spec = nullptr;  // the grade's
  double allowance = 0.0;          // mm
  OpenArcPath path;                // its net line, on the sheet of its forme
  Box2 box;                        // grown by kOnFeather
  double length = 0.0;
};

const PieceSpec& spec_of(const StyleGrade& grade, const BaseEdge& edge);   // of its piece
std::string edge_of_piece(const StyleGrade& grade, const BaseEdge& edge);  // "feather of vamp"

// In the order of pieces and edges those that are asked for and at least so long, mm.
std::vector<BaseEdge> base_edges(const StyleGrade& grade, double least,
                                 const std::function<bool(const PieceSpec&, const EdgeSpec&)>& asked);

// Millimetres of the shorter that lie on the longer, within kOnFeather.
double length_together(const BaseEdge& one, const BaseEdge& other);
// Whether they are the same line over four fifths of the shorter, with the material of both on one side.
bool lie_on_one_side(const BaseEdge& one, const BaseEdge& other);

}  // namespace lastwright
