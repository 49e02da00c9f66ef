// How the measures of a last are taken: the default set of named, versioned definitions.
//
// The landmarks are those landmarks.hpp proposes. Plane choices are common practice (no
// published standard was found): a report prints the definition
// beside each value, and unlike definitions are never compared.
#pragma once

#include <string>
#include <vector>

#include "grading/lasts/last_measure.hpp"

namespace lastwright {

// In the order of tables: stick length, ball, waist, instep, short heel, long heel girth, tread, seat, heel
// height, toe spring, back height.
std::vector<MeasureDefinition> default_last_definitions();

// The bottom's width at the waist and at the instep, feather to feather.
std::vector<MeasureDefinition> bottom_width_definitions();

// The same girths as taut strings (held at the landmarks of their planes); ball, waist and instep as the
// smallest hull over tilt.
std::vector<MeasureDefinition> string_definitions();
std::vector<MeasureDefinition> tilt_definitions();

}  // namespace lastwright
