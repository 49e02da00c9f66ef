// Several shapes, each with its like in strips or sheets of one size, so that what lies inside another shape
// never takes more than that one does.
#pragma once

#include <vector>

#include "geometry/lattice/strip_lattice.hpp"

namespace lastwright {

struct StripShape {
  const LatticeShape* shape = nullptr;
  std::vector<LatticeKind> kinds;  // in which it may be laid
};

// `lays`, as densest_in_strip finds them for each shape by itself, made as close as those of the others
// allow. A shape that lies inside another one, as that is drawn, turned half round or mirrored, fits in its
// place everywhere; one that is another one made smaller fits in its lattice made smaller; and what is only
// about as large may do so. Each is verified free of overlap with the shape itself. So a shape that lies
// inside another one never takes more of the strip, as long as it may be laid in the same kinds of lattice
// and place_inside finds where it lies.
void share_lays(const std::vector<StripShape>& shapes, const StripSize& size, std::vector<StripLay>& lays);

}  // namespace lastwright
