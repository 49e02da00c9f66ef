// An outline of a schema for people names every key, and the schema says of each what it means.
#pragma once

#include <catch2/catch.hpp>
#include <functional>
#include <set>
#include <sstream>
#include <string>

#include "grading/json/json_schema.hpp"
#include "grading/json/json_text.hpp"

namespace lastwright::test {

// The keys that an outline names: what stands before the two spaces and the bracket.
inline std::set<std::string> outlined_keys(const std::string& outline) {
  std::set<std::string> keys;
  std::istringstream lines(outline);
  for (std::string line; std::getline(lines, line);) {
    const std::size_t at = line.find_first_not_of(' ');
    const std::size_t end = line.find("  (", at);
    if (at != std::string::npos && end != std::string::npos) keys.insert(line.substr(at, end - at));
  }
  keys.erase("<name>");
  return keys;
}

// Checks each, and that the outline names no other; how many keys there are.
inline std::size_t explained_keys(const JsonSchema& schema, const std::string& outline) {
  std::size_t keys = 0;
  std::set<std::string> names;
  const std::function<void(const Json&)> walk = [&](const Json& node) {
    if (!node.is_structured()) return;
    if (node.is_object() && node.contains("properties") && node.at("properties").is_object()) {
      for (const auto& [key, child] : node.at("properties").items()) {
        INFO(key);
        CHECK(outline.find(key + "  (") != std::string::npos);
        const Json& target = child.is_object() ? schema.resolved(child) : child;
        CHECK((child.contains("description") || target.contains("description")));
        ++keys;
        names.insert(key);
      }
    }
    for (const Json& child : node) walk(child);
  };
  walk(schema.root());
  CHECK(outlined_keys(outline) == names);
  return keys;
}

}  // namespace lastwright::test
