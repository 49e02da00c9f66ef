// What messages say of the unit that a drawing was taken in.
#pragma once

#include <string>

#include "geometry/curve/outline.hpp"
#include "geometry/io/drawing.hpp"
#include "geometry/io/drawn_place.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// "the drawing says its unit is in, and mm was asked for: taken as mm"; empty if nothing was overridden.
std::string unit_overridden(const Drawing& drawing);

// For an outline on which not all corners of its piece lie: the unit among mm, cm and in with which all of
// them would lie on it, within tolerance::kCornerSnap; empty if there is none. `outline`: in millimetres, one
// unit of the drawing taken as `unit_in_mm`.
std::string fitting_unit(const ClosedOutline& outline, const PieceSpec& spec, const FormeSpec& forme,
                         double unit_in_mm);

}  // namespace lastwright
