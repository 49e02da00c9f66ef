// What stands in a forme by its name.
#pragma once

#include <string>

#include "grading/style/style.hpp"

namespace lastwright {

// The line of a measure line or of a check line; null for a rule of another kind.
const MeasureLine* rule_line(const Rule& rule);
// Of this name; null where the forme has none.
const MeasureLine* find_line(const FormeSpec& forme, const std::string& name);

// Null where the forme has no point of this name.
const NamedPoint* find_point(const FormeSpec& forme, const std::string& name);
// Where a point is drawn that the reader of styles found on the forme, as it does for every point of its
// rules, its base line and its corners.
Vec2 drawn_place(const FormeSpec& forme, const std::string& name);
// A unit vector from one end of the base line to the other.
Vec2 base_direction(const FormeSpec& forme);
// As drawn, mm.
double drawn_length(const FormeSpec& forme, const MeasureLine& line);

// Whether a share of the measure stands on the line.
bool carries(const MeasureLine& line, const std::string& measure);

}  // namespace lastwright
