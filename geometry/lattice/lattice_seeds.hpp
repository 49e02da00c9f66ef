// Coarse lattices worth polishing, from pictures of what is forbidden.
#pragma once

#include <vector>

#include "geometry/lattice/lattice.hpp"
#include "geometry/lattice/polish_lattice.hpp"

namespace lastwright {

struct SeedOptions {
  double least_area = 0.0;       // no cell is smaller than the shapes in it
  std::size_t most = 24;         // lattices, unlike each other, the most promising first
  int cells = 96;                // of the pictures, along the longer side
  bool level = false;            // a along x, as rows of a roll lie
  std::size_t edge_points = 96;  // in the plane of the second shape's places, or of a lattice vector
};

// With one shape: a, b and a - b are each looked for at the edge of what is forbidden, where the densest
// lattices have them. With two: three second shapes touch the first.
std::vector<Lattice> lattice_seeds(const LatticeRules& rules, const SeedOptions& options);

}  // namespace lastwright
