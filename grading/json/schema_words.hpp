// The words of JSON Schema that JsonSchema checks.
#pragma once

#include "grading/json/json_forward.hpp"

namespace lastwright {

// Walks a schema, so that a word that is not checked can never stand in it unnoticed: InvariantBroken.
void check_schema_words(const Json& node);

}  // namespace lastwright
