// The upper of a last as one welded mesh, and the sheet that parts its two sides.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "geometry/flatten/skin_mesh.hpp"
#include "geometry/result.hpp"
#include "grading/lasts/last_measure.hpp"
#include "grading/lasts/stand.hpp"

namespace lastwright {

// The triangles of all faces of a role, corners of different faces that coincide made one.
SkinMesh welded(const Body& body, int role);

struct UpperSkin {
  SkinMesh mesh;
  std::vector<std::uint32_t> feather;  // its lower rim, a loop
  std::vector<std::uint32_t> top;      // its upper rim
  std::vector<std::string> notes;      // holes that were closed
};
// Expects the body standing, its roles found. Refuses an upper that is no ring between two rims, with what it
// has instead: a cone that is cut down to the side (a V-cut), no top, several pieces. Small holes in the
// sides are closed.
Result<UpperSkin> upper_skin(const Body& body);

// y of the sheet at a place: positive heights to its left. In front the upright plane through the toe point
// and the middle of the top rim's front end; at the back the middle of the heel, level by level, smoothed.
// What a section's highest points would give in front is no line on flat toes.
std::function<double(Vec3)> middle_sheet(const UpperSkin& skin, Vec3 toe);

}  // namespace lastwright
