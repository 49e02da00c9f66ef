// A four-sided piece of surface on a regular grid through the unit square.
#pragma once

#include "geometry/flatten/square_map.hpp"

namespace lastwright {

// Node (i, j) is number j * columns + i; u = i / (columns - 1) along sides 0 and 2, v = j / (rows - 1) along
// sides 1 and 3.
struct GridPatch {
  std::uint32_t columns = 0;
  std::uint32_t rows = 0;
  SkinMesh mesh;

  [[nodiscard]] std::uint32_t node(std::uint32_t i, std::uint32_t j) const { return j * columns + i; }
  // The nodes of side s (see FourSides) in its order.
  [[nodiscard]] std::vector<std::uint32_t> side(std::size_t s) const;
};

// Points of the surface's own triangles at the grid's places; those of the sides by length on the sides'
// chains. Each square is split by its shorter diagonal. Precondition: two columns and two rows at least.
Result<GridPatch> sample_grid(const SquareMap& map, std::uint32_t columns, std::uint32_t rows);

// Two grids of like size, squares split by the diagonal that is shorter in both together: their triangles
// are then the same.
void split_alike(GridPatch& one, GridPatch& other);

}  // namespace lastwright
