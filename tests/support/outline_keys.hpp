// An outline of a schema for people names every key, and the schema says of each what it means.
#pragma once

#include <catch2/catch.hpp>
#include <functional>
#include <string>

#include "grading/json/json_schema.hpp"
#include "grading/json/json_text.hpp"

namespace lastwright::test {

// Checks each; how many keys there are.
inline std::size_t explained_keys(const JsonSchema& schema, const std::string& outline) {
  std::size_t keys = 0;
  const std::function<void(const Json&)> walk = [&](const Json& node) {
    if (!node.is_structured()) return;
    if (node.is_object() && node.contains("properties") && node.at("properties").is_object()) {
      for (const auto& [key, child] : node.at("properties").items()) {
        INFO(key);
        CHECK(outline.find(key + "  (") != std::string::npos);
        const Json& target = child.is_object() ? schema.resolved(child) : child;
        CHECK((child.contains("description") || target.contains("description")));
        ++keys;
      }
    }
    for (const Json& child : node) walk(child);
  };
  walk(schema.root());
  return keys;
}

}  // namespace lastwright::test
