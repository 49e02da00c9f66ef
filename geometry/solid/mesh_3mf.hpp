// Triangles from a 3MF file (3MF Core Specification 1.3): all that its build lists, as it is placed there.
// The file states its unit. Of the extensions, parts in files of their own (production) are followed;
// materials and what else is not needed for the form is passed over.
#pragma once

#include <optional>
#include <string_view>

#include "geometry/solid/stl.hpp"

namespace lastwright {

// A unit by the format's own name ("millimeter", "inch", ...) in millimetres, and back.
std::optional<double> unit_of_3mf(std::string_view name);
std::optional<std::string_view> name_of_3mf_unit(double millimetres);

// Objects for support are left out, which is noted. Refuses archives that hold no model or unpack to far more
// than a mesh does, extensions without which the file says it cannot be understood, numbers that are no
// places in reach, corners, objects and transforms that are not there or cannot be, and objects that contain
// themselves; each with its object.
Result<StlRead> read_3mf(std::string_view bytes);

}  // namespace lastwright
