// Where a piece lies, in the style file: JSON in and out.
// grading/style/style.schema.json documents every key.
#pragma once

#include <string>

#include "geometry/result.hpp"
#include "grading/json/json_forward.hpp"
#include "grading/style/piece_spec.hpp"

namespace lastwright {

// From a value that the schema has passed. Fails where a length written as text is none; the place is a
// pointer below `from`.
Result<LiesSpec> read_lies(const Json& from);
Json lies_json(const LiesSpec& lies);

}  // namespace lastwright
