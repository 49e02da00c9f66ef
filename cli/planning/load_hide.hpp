// Drawings of hides.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geometry/io/dxf_read.hpp"
#include "grading/planning/hide_drawing.hpp"
#include "grading/planning/works.hpp"

namespace lastwright {

Result<HideDrawing> load_hide(const std::string& file, std::optional<DrawingUnit> unit = {});

// Area and edge of the hides that the works file gives as drawings; their files are added to `inputs`.
Status measure_hides(WorksSpec& works, std::vector<std::string>& inputs);

}  // namespace lastwright
