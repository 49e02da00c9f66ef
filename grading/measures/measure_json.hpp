// A measure from the JSON form that style files and reference tables share.
#pragma once

#include <string>

#include "geometry/result.hpp"
#include "grading/json/json_forward.hpp"
#include "grading/measures/measure.hpp"

namespace lastwright {

// The measure at `pointer`. Preconditions: the document fits its schema, and the measure is not a
// `from_scale` one. Breaks are looked up on the scale; problems carry the place.
Result<Measure> measure_at(const JsonDocument& document, const std::string& pointer, std::string name,
                           const Scale& scale);

// "published", ... as name_of(Provenance) writes it. Precondition: the schema allowed it.
Provenance provenance_of(std::string_view name);

}  // namespace lastwright
