#include "grading/json/schema_words.hpp"

#include <algorithm>
#include <array>
#include <string>

#include "geometry/invariant.hpp"
#include "grading/json/json_text.hpp"

namespace lastwright {

void check_schema_words(const Json& node) {
  if (node.is_boolean()) return;
  static constexpr std::array kPlain = {"type",
                                        "enum",
                                        "const",
                                        "required",
                                        "minProperties",
                                        "maxProperties",
                                        "minItems",
                                        "maxItems",
                                        "minimum",
                                        "maximum",
                                        "exclusiveMinimum",
                                        "exclusiveMaximum",
                                        "minLength",
                                        "maxLength",
                                        "pattern",
                                        "$ref",
                                        "title",
                                        "description",
                                        "default",
                                        "examples",
                                        "$comment",
                                        "$schema",
                                        "$id",
                                        "uniqueItems"};
  static constexpr std::array kSchema = {"items", "additionalProperties", "propertyNames"};
  static constexpr std::array kList = {"oneOf", "anyOf", "allOf", "prefixItems"};
  static constexpr std::array kMap = {"properties", "patternProperties", "$defs"};
  invariant(node.is_object(), "a schema is an object or true or false");
  const auto in = [](const auto& words, const std::string& word) {
    return std::find(words.begin(), words.end(), word) != words.end();
  };
  for (const auto& [word, value] : node.items()) {
    if (in(kPlain, word)) continue;
    if (in(kSchema, word)) {
      check_schema_words(value);
    } else if (in(kList, word) || in(kMap, word)) {
      for (const Json& sub : value) check_schema_words(sub);
    } else {
      throw InvariantBroken("the schema uses a word that is not checked: " + word);
    }
  }
}

}  // namespace lastwright
