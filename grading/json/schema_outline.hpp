// A schema as an outline for people: every key with what it takes and what it means.
#pragma once

#include <cstddef>
#include <string>

#include "grading/json/json_schema.hpp"

namespace lastwright {

struct OutlineOptions {
  std::size_t width = 100;  // columns
  std::size_t indent = 2;
};

// Made from the schema alone, so it cannot say anything else than what is checked. Keys that must be there
// are marked "required"; what a key may be comes with its limits, and with what holds unless it is given where
// the schema has a "default".
std::string schema_outline(const JsonSchema& schema, const OutlineOptions& options = {});

}  // namespace lastwright
