// Drawings of hides.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "geometry/io/dxf/dxf_read.hpp"
#include "grading/planning/hide_drawing.hpp"
#include "grading/planning/works.hpp"

namespace lastwright {

// `unit_option`: the option that gives the unit of a drawing that does not state it; none unless given.
Result<HideDrawing> load_hide(const std::string& file, std::optional<DrawingUnit> unit = {},
                              const std::string& unit_option = "");

// The hides that the works file gives as drawings, by material: their area and edge go into `works`, their
// files are added to `inputs`.
Result<std::map<std::string, HideDrawing>> measure_hides(WorksSpec& works, std::vector<std::string>& inputs);

}  // namespace lastwright
