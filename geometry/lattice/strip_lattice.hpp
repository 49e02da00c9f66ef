// Like shapes in a strip or a sheet: whole rows of a lattice whose rows run along it.
#pragma once

#include <vector>

#include "geometry/lattice/densest_lattice.hpp"

namespace lastwright {

struct StripRow {
  double x = 0.0;  // of the middle of one shape of the row, others a period apart
  double y = 0.0;  // from the middle of the strip
  bool second = false;
};

struct StripLay {
  LatticeKind kind = LatticeKind::kTranslated;
  Lattice lattice;             // a along x
  std::vector<StripRow> rows;  // that lie within the width
  double period = 0.0;         // mm along the strip for one shape of each row
  [[nodiscard]] double length_per_shape() const { return period / static_cast<double>(rows.size()); }
};

// The rows that take the least length of a strip of `width` for a shape: of the lattices found dense, not
// proved to be the shortest of all. No rows where the shape is wider than the strip.
StripLay densest_in_strip(const LatticeShape& shape, const std::vector<LatticeKind>& kinds, double width);

// How many of them lie within a sheet of that length: each row begins where it does in the lattice, the whole
// moved along so that most fit.
int shapes_in_sheet(const StripLay& lay, const LatticeShape& shape, double length);

}  // namespace lastwright
