// The plain slips of pen, eye and unit: which of them would make a reading right.
#pragma once

#include <optional>
#include <string>

#include "grading/readings/readings.hpp"

namespace lastwright {

// "245.5 mm with two digits exchanged"; empty where no slip leads
// to within `within` of what is expected, both millimetres.
std::optional<std::string> likely_slip(const Reading& reading, double expected, double within);

// What a value outside [low, high] may have been meant for: the factor of a slipped decimal point or of a
// wrong unit that brings it inside. Millimetres.
std::optional<std::string> likely_factor(double value, double low, double high);

}  // namespace lastwright
