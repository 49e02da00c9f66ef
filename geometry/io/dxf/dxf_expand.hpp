// From decoded sections to a drawing: blocks put where they are inserted, everything in millimetres.
#pragma once

#include "geometry/io/dxf/dxf_sections.hpp"

namespace lastwright {

// `unit_in_mm`: length of one drawing unit. Adds to drawing.paths, circles,
// points, texts, left_out and entities_in. Refuses blocks that contain
// themselves, nesting beyond the limit, expansions beyond the budgets.
Status expand_into(Drawing& drawing, const DxfSections& sections, double unit_in_mm, const DxfLimits& limits);

}  // namespace lastwright
