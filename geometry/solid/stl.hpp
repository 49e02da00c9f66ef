// STL: triangles without units. Written in binary, read in binary and ASCII.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "geometry/result.hpp"
#include "geometry/solid/body.hpp"

namespace lastwright {

inline constexpr std::size_t kMaxStlTriangles = 2'000'000;
inline constexpr std::size_t kMaxSpreadPoints = 2'000'000;  // filled in; a last has 150,000 at 1 mm

struct StlRead {
  PlainMesh mesh;                  // corners that agree to the bit joined
  std::size_t flat = 0;            // triangles without area, left out
  std::vector<std::string> notes;  // what was left out, as people should know
  double millimetres = 1.0;        // one unit of the file
  std::size_t open_sides = 0;  // sides not shared by exactly two triangles in opposite senses; 0: watertight
};
// `millimetres`: what one unit of the file is; STL does not say, so the user must. Refuses files that are
// neither kind, are cut short, hold numbers that are not finite, or no triangles.
Result<StlRead> read_stl(std::string_view bytes, double millimetres);

// Whether the bytes are as many as the triangle count at their place in a binary file asks for.
bool is_binary_stl(std::string_view bytes);

// Binary, single precision (0.00002 mm at 300 mm), a fixed header: the same mesh gives the same bytes.
std::string write_stl(const PlainMesh& mesh, std::string_view name,
                      std::string_view unit_name = "millimetres");

// The triangulation of a body, corners on shared edges joined.
PlainMesh plain_mesh(const Body& body);

// The corners, and points on larger triangles so that none is farther than about `spacing` mm from the next.
// Refuses (kBudget) triangles that cover so much more than a last that the points would be too many.
// `normals`: filled, where asked for, with the unit normal at each point, of a corner the mean of its
// triangles'.
Result<std::vector<Vec3>> spread_points(const PlainMesh& mesh, double spacing,
                                        std::vector<Vec3>* normals = nullptr);

// Volume and the sides that are not matched.
double volume(const PlainMesh& mesh);
std::size_t open_sides(const PlainMesh& mesh);

}  // namespace lastwright
