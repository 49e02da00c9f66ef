// The densest lattice of like shapes that was found, with what is proved of it.
//
//   Result<LatticeShape> shape = lattice_shape(outline, Millimetres(0.02));
//   const FoundLattice found = densest_lattice(*shape, LatticeKind::kHalfTurned);
//   found.per_shape;   // mm^2 of material for each
//   found.least;       // no lattice of the kind needs less than this
//
// Shapes never turn but by half a turn and are never turned over. Of a convex polygon the result is the best
// there is. Of others it is the best of a search (all triples of contacts, coarsely; the promising ones
// polished to a local optimum), never worse than that of the hull, free of overlap, and beside it stands a
// bound that no lattice of the kind can go below.
#pragma once

#include <vector>

#include "geometry/curve/arc_path.hpp"
#include "geometry/lattice/lattice.hpp"
#include "geometry/lattice/polish_lattice.hpp"
#include "geometry/result.hpp"
#include "geometry/units.hpp"

namespace lastwright {

enum class LatticeKind {
  kTranslated,          // one shape a cell
  kHalfTurned,          // it and itself turned half round
  kMirrored,            // it and its mirror image (in the line x = 0)
  kMirroredHalfTurned,  // it and its mirror image turned half round (the image in the line y = 0)
};
inline constexpr LatticeKind kLatticeKinds[] = {LatticeKind::kTranslated, LatticeKind::kHalfTurned,
                                                LatticeKind::kMirrored, LatticeKind::kMirroredHalfTurned};
const char* name_of(LatticeKind kind);  // "translated", "half turned", ...

// A shape made ready for packing: polygons round it, near its middle.
struct LatticeShape {
  Polygon polygon;             // round the outline within the error asked for
  Polygon coarse;              // within a two-hundredth of its size
  std::vector<Polygon> parts;  // convex, of `polygon`
  std::vector<Polygon> rough;  // convex, of `coarse`
  Vec2 middle;                 // what was taken from every point: the middle of the outline's box
  double area = 0.0;           // of the outline itself
  bool convex = false;
};
Result<LatticeShape> lattice_shape(const ClosedArcPath& outline, Millimetres error);
// Of the mirror image in the line x = 0.
LatticeShape mirrored(const LatticeShape& shape);

struct FoundLattice {
  LatticeKind kind = LatticeKind::kTranslated;
  Lattice lattice;  // of the shape round its middle; the second shape is half turned, mirrored ... first
  double per_shape = 0.0;  // mm^2, the cell shared between the shapes in it
  double density = 0.0;    // share of the cell that the outlines cover
  double least = 0.0;      // mm^2: no lattice of this kind takes less for a shape
  bool exact = false;      // by theorem the best lattice of the kind of the polygon
  double overlap = 0.0;    // mm^2 that any two shapes of the lattice share, measured on their parts
};

struct LatticeSearch {
  // Lattices to begin from as well: those of the sizes beside this one.
  std::vector<Lattice> hints = {};
  // Only polish the hints: no search of its own.
  bool hints_only = false;
  // Also what no lattice can go below; else `least` is no more than the shape's own area.
  bool bound = true;
};

FoundLattice densest_lattice(const LatticeShape& shape, LatticeKind kind, const LatticeSearch& search = {});
// The densest of several kinds, the first of those alike. A kind whose lattices are clearly larger than those
// of the ones before, when all are looked for coarsely, is not followed up. Precondition: at least one kind.
FoundLattice densest_lattice(const LatticeShape& shape, const std::vector<LatticeKind>& kinds, bool bound);

// The area that any two shapes of the lattice share, by clipping their parts against each other: every pair
// that can touch is looked at, whatever the basis. `second`: the parts of the second shape, empty for none.
double shared_area(const Lattice& lattice, const std::vector<Polygon>& first,
                   const std::vector<Polygon>& second);

// The parts of the second shape of a cell.
std::vector<Polygon> second_parts(const std::vector<Polygon>& parts, LatticeKind kind);

}  // namespace lastwright
