// The skin of a base last on grids: what the formes of every size are made from. A node is a point of the
// material, which the grade takes to its place on any graded last.
#pragma once

#include "geometry/flatten/grid_patch.hpp"
#include "grading/lasts/formes/upper_skin.hpp"

namespace lastwright {

// One side of the upper from feather edge (side 0, back to front) to top line (side 2), from the back curve
// (side 3, feather to top) to the front line (side 1).
struct LastHalf {
  GridPatch grid;
  std::array<std::vector<Vec3>, 4> rims;  // the sides' finer points, in the same order
};
struct LastSkin {
  std::array<LastHalf, 2> halves;  // outside, inside; their triangles are the same
  LastFoot foot = LastFoot::kLeft;
  SkinMesh bottom;
  std::vector<std::uint32_t> feather;  // the rim of the bottom, counter-clockwise seen from above
  std::vector<std::string> notes;
};
enum Half : std::size_t { kOutside, kInside };

struct SkinOptions {
  std::uint32_t columns = 61;
  std::uint32_t rows = 31;
};

// `fine`: the standing base, triangulated within some hundredths of a millimetre, its roles found.
Result<LastSkin> last_skin(const Body& fine, LastFoot foot, Vec3 toe, const SkinOptions& options = {});

}  // namespace lastwright
