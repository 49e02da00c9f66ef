// A piece of a surface in space as triangles, and one with four sides, as flattening takes it.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "geometry/solid/vec3.hpp"
#include "geometry/vec2.hpp"

namespace lastwright {

using Corners = std::array<std::uint32_t, 3>;

struct SkinMesh {
  std::vector<Vec3> points;
  std::vector<Corners> triangles;  // all turned the same way
};

// A disc with four corners. Sides 0 and 2 run alongside (u from 0 to 1) at v = 0 and v = 1; sides 1 and 3
// across (v from 0 to 1) at u = 1 and u = 0. Each is a chain of neighbouring points with both its corners.
struct FourSides {
  SkinMesh mesh;
  std::array<std::vector<std::uint32_t>, 4> sides;
};

// The shape of a triangle alone: its corners in a plane of its own, counter-clockwise.
using FlatCorners = std::array<Vec2, 3>;
FlatCorners flat_corners(Vec3 a, Vec3 b, Vec3 c);
// From the lengths of its sides ab, bc, ca, which must make a triangle.
FlatCorners flat_corners(double ab, double bc, double ca);

std::vector<FlatCorners> flat_corners(const std::vector<Vec3>& points, const std::vector<Corners>& triangles);
// Each side as long as the mean of two meshes of the same triangles.
std::vector<FlatCorners> mean_corners(const std::vector<Vec3>& one, const std::vector<Vec3>& other,
                                      const std::vector<Corners>& triangles);

double length_of(const std::vector<Vec3>& points, const std::vector<std::uint32_t>& chain);

}  // namespace lastwright
