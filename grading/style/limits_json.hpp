// The limits of a style, out of its file.
#pragma once

#include "grading/json/json_forward.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

class StyleValues;

// `limits`: what stands at "/limits". What it does not name keeps its usual value.
void read_limits(const Json& limits, StyleValues& values, StyleSpec& style);

}  // namespace lastwright
