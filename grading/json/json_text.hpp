// JSON text into a document that knows where each of its values stands.
//
// Stricter than JSON asks: a key given twice is refused, and
// hard budgets hold. Objects keep the order of the file.
#pragma once

#include <cstddef>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geometry/result.hpp"

namespace lastwright {

using Json = nlohmann::ordered_json;

struct JsonLimits {
  std::size_t bytes = 16u << 20;
  std::size_t depth = 64;
  std::size_t values = 500'000;
  std::size_t key_bytes = 1024;
};

struct JsonDocument {
  Json root;
  std::string file;         // for messages
  std::vector<long> lines;  // line each value starts on, the values counted in the order of the file

  // The place of a value, or of its nearest parent that exists. Walks the document: for messages only.
  [[nodiscard]] Place place(const std::string& pointer) const;
  // A kBadValue Problem there.
  [[nodiscard]] Problem bad(const std::string& pointer, std::string message) const;
};

// Refuses text that is not JSON (Trouble::kSyntax, with its line), a key given twice, a number too large for
// a double (both kBadValue with the pointer) and whatever breaks a limit (kBudget). Never throws on data.
Result<JsonDocument> parse_json(std::string_view text, std::string file, const JsonLimits& limits = {});

// `parent` with one more step, escaped as RFC 6901 asks.
std::string pointer_to(const std::string& parent, std::string_view key);
std::string pointer_to(const std::string& parent, std::size_t index);
// The steps of a pointer, unescaped; none of the whole document, "".
std::vector<std::string> steps_of(std::string_view pointer);
// The place in a list that a step names; none where it is no number.
std::optional<std::size_t> index_of(std::string_view step);

// A short rendering of a value for messages: `"8½"`, `5`, `a list of 3`, `an object`.
std::string shown(const Json& value);

}  // namespace lastwright
