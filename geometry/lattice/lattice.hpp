// Lattices of like shapes in the plane: a cell, repeated without end along two vectors.
#pragma once

#include <optional>
#include <vector>

#include "geometry/vec2.hpp"

namespace lastwright {

// Shapes lie at i a + j b and, where the cell holds a second shape, that one at i a + j b + second. Both
// shapes are drawn round the same origin.
struct Lattice {
  Vec2 a;
  Vec2 b;
  std::optional<Vec2> second;

  [[nodiscard]] double cell_area() const { return std::abs(cross(a, b)); }
  [[nodiscard]] int shapes() const { return second ? 2 : 1; }
};

// The same lattice with its shortest vectors, |a| <= |b|, at 60 to 120 degrees (Gauss), counter-clockwise;
// the second shape in the cell round the origin.
Lattice reduced(Lattice lattice);

// The same lattice with its shortest second vector, a staying along x: a.x > 0, b.y > 0; the second shape in
// the cell round the origin. Precondition: a lies along x.
Lattice reduced_level(Lattice lattice);

struct LatticeStep {
  int i = 0;
  int j = 0;
};

// Every i a + j b + from that lies within `reach` of `about`; few and complete whatever its basis.
// Precondition: the lattice has an area.
std::vector<LatticeStep> steps_within(const Lattice& lattice, Vec2 from, Vec2 about, double reach);

}  // namespace lastwright
