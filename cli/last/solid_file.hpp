// A last from a file: STEP, or STL in a unit that the user must name.
#pragma once

#include <optional>
#include <string>

#include "geometry/last/body.hpp"
#include "geometry/last/kernel/kernel.hpp"
#include "geometry/last/stl.hpp"
#include "geometry/result.hpp"

namespace lastwright {

// Whether the bytes are STEP; anything else is tried as STL.
bool is_step(const std::string& bytes);

// One unit of an STL file in millimetres: "mm", "cm" or "in". Refuses an empty name: STL does not say.
Result<double> stl_unit(const std::string& name, const std::string& file);

struct SolidFile {
  Body body;  // as the file says, not yet standing
  bool valid = true;
  double volume = 0.0;  // mm3
  std::string kind;     // "4 faces", "41234 triangles"
};
// For measuring: surfaces of a STEP file, or the triangles of a watertight STL file.
Result<SolidFile> read_solid_file(const std::string& path, const std::string& unit);

}  // namespace lastwright
