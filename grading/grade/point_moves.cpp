#include "grading/grade/point_moves.hpp"

namespace lastwright {

std::vector<Vec2> moves_in_cells(const GradedForme& forme, Vec2 drawn) {
  std::vector<Vec2> of_drivers(forme.map.field().drivers());
  forme.map.field().displacements(drawn, of_drivers);
  std::vector<Vec2> moves;
  moves.reserve(forme.drivers.size());
  for (const Drivers& drivers : forme.drivers) {
    Vec2 u;
    for (std::size_t j = 0; j < of_drivers.size(); ++j) u += drivers[j] * of_drivers[j];
    moves.push_back(u);
  }
  return moves;
}

}  // namespace lastwright
