// Checks a JSON document against a schema file: the part
// of JSON Schema (draft 2020-12) that our own files use.
//
// Understood: type, enum, const, properties, required, additionalProperties, patternProperties,
// propertyNames, minProperties, maxProperties, items, prefixItems, minItems, maxItems, uniqueItems, minimum,
// maximum, exclusiveMinimum, exclusiveMaximum, minLength, maxLength, pattern, oneOf, anyOf, allOf, $ref to
// "#/$defs/...", $defs; title, description, default, examples, $comment, $schema and $id say something to
// people only. Any other word in a schema is a fault of the schema and throws InvariantBroken: nothing is
// believed to be checked that is not.
#pragma once

#include <string_view>
#include <vector>

#include "grading/json/json_text.hpp"

namespace lastwright {

class JsonSchema {
 public:
  // Precondition: `text` is a sound schema (ours is built in). A broken one throws InvariantBroken.
  explicit JsonSchema(std::string_view text);

  // Every fault of the document, in the order of the file; empty: it fits. Each Problem names the JSON
  // pointer, what was found and what would do; an unknown key comes with the known key nearest to it.
  [[nodiscard]] std::vector<Problem> check(const JsonDocument& document) const;

  [[nodiscard]] const Json& root() const { return root_; }
  // The schema node itself, or the one its $ref names.
  [[nodiscard]] const Json& resolved(const Json& node) const;

 private:
  Json root_;
};

}  // namespace lastwright
