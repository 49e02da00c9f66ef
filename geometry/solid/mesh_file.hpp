// Triangles from a file of any common kind: STL, PLY and OBJ, text and binary, none of which says its unit,
// and 3MF, which does.
#pragma once

#include <string_view>

#include "geometry/solid/stl.hpp"

namespace lastwright {

enum class MeshKind { kStl, kPly, kObj, k3mf };
const char* name_of(MeshKind kind);  // "STL", "PLY", "OBJ", "3MF"

// By what the bytes begin with; what is none of the others is tried as STL, whose reader says what it is.
MeshKind mesh_kind(std::string_view bytes);

// How a mesh file is written, so that another can be written like it.
struct MeshFormat {
  MeshKind kind = MeshKind::kStl;
  bool text = false;
  bool big = false;  // binary PLY: most significant byte first
};
MeshFormat mesh_format(std::string_view bytes);

// Polygons are fanned into triangles from their first corner; corners within 1e-5 mm are one. Colours,
// normals, textures, lines and free curves are passed over. Refuses what is cut short, names a corner that is
// not there, holds numbers that are not places in reach, or no triangles; each with its line or entry.
// `millimetres`: what one unit of the file is; without meaning for a file that says it, whose own is in what
// is read.
Result<StlRead> read_mesh(std::string_view bytes, double millimetres);

}  // namespace lastwright
