// Triangles as a file of any kind that is read: STL, PLY and OBJ, text and binary, and 3MF, as one object.
#pragma once

#include <string>
#include <string_view>

#include "geometry/solid/mesh_file.hpp"

namespace lastwright {

// ".stl", ".ply", ".obj", ".3mf"
const char* ending_of(MeshKind kind);

// `millimetres`: what one unit of the file is; coordinates are divided by it (of 3MF: of a unit that the
// format has). Corners and triangles keep
// their order; numbers are written in single precision, the shortest digits that give it in text. The same
// mesh gives the same bytes.
std::string write_mesh(const PlainMesh& mesh, const MeshFormat& format, double millimetres,
                       std::string_view name);

}  // namespace lastwright
