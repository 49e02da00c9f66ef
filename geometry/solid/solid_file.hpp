// A solid from a file: STEP or IGES, or a mesh: STL, PLY or OBJ in a unit that the user must name, 3MF in its
// own.
#pragma once

#include <optional>
#include <string>

#include "geometry/result.hpp"
#include "geometry/solid/body.hpp"
#include "geometry/solid/kernel/kernel.hpp"
#include "geometry/solid/stl.hpp"

namespace lastwright {

// Whether the bytes are of a file that the solid kernel
// reads, STEP or IGES; anything else is tried as a mesh.
bool is_solid(const std::string& bytes);

// Triangles of a mesh file, one unit of which is "mm", "cm", "m" or "in"; of 3MF, which states it, the name
// may be empty. Refuses, in this order, what is no mesh, one whose unit nobody says, with the words
// `without_unit`, and one that states another unit than is named.
inline constexpr const char* kSayUnit = "STL, PLY and OBJ files have no unit: say --unit mm, cm, m or in";
Result<StlRead> read_mesh_in(const std::string& bytes, const std::string& unit, const char* without_unit);

// What the noise of a mesh does to its measures, for people: where its roughness (mesh_body.hpp) is above
// kRough.
std::string told_roughness(double rough);

struct SolidFile {
  Body body;                         // as the file says, not yet standing
  std::optional<KernelShape> shape;  // none of a mesh
  bool valid = true;
  double volume = 0.0;  // mm3
  std::string kind;     // "4 faces", "41234 triangles"
};
// Surfaces of a STEP or IGES file, triangulated within
// `deflection` mm, or the triangles of a watertight mesh.
Result<SolidFile> read_solid_file(const std::string& path, const std::string& unit, double deflection);

// The shape in the bytes of a STEP or IGES file, within the kernel's time.
Result<KernelShape> read_shape(const std::string& bytes);

// The bytes of a file that may hold a solid or a scan, or why not.
Result<std::string> read_solid_bytes(const std::string& path);

}  // namespace lastwright
