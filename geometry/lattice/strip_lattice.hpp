// Like shapes in a strip or a sheet: whole rows of a lattice whose rows run along it.
#pragma once

#include <vector>

#include "geometry/lattice/densest_lattice.hpp"

namespace lastwright {

struct StripRow {
  double x = 0.0;  // of the middle of one shape of the row, others a period apart
  double y = 0.0;  // from the middle of the strip
  bool second = false;
  bool operator==(const StripRow&) const = default;
};

struct StripSize {
  double width = 0.0;
  double length = 0.0;  // of a sheet; 0: a strip without end
};

struct StripLay {
  LatticeKind kind = LatticeKind::kTranslated;
  Lattice lattice;             // a along x
  std::vector<StripRow> rows;  // that lie within the width
  double period = 0.0;         // mm along the strip for one shape of each row
  int held = 0;                // shapes in the sheet; 0 in a strip without end
  [[nodiscard]] double length_per_shape() const { return period / static_cast<double>(rows.size()); }
};

// Whether the one takes less of the strip: more shapes in a sheet, then less length for each.
bool closer(const StripLay& one, const StripLay& other);

// The rows that take the least length of a strip for a shape, or of which a sheet holds the most: of the
// lattices found dense and of straight columns, not proved to be the best of all. No rows where the shape is
// wider than the strip or longer than the sheet. `found`: gets all rows that were found free of overlap on
// the way, straight columns and those nearly as dense as the densest; some may do for few shapes where these
// do not.
StripLay densest_in_strip(const LatticeShape& shape, const std::vector<LatticeKind>& kinds,
                          const StripSize& size, std::vector<StripLay>* found = nullptr);

// A lattice with a along x that may do for a shape.
struct StripHint {
  LatticeKind kind = LatticeKind::kTranslated;
  Lattice lattice;
};

// The closest that the hints come to, as they are and polished; no rows where all of them overlap.
StripLay closest_of(const LatticeShape& shape, const std::vector<StripHint>& hints, const StripSize& size);

// How many of them lie within a sheet of that length: each row begins where it does in the lattice, the whole
// moved along so that most fit.
int shapes_in_sheet(const StripLay& lay, const LatticeShape& shape, double length);

}  // namespace lastwright
