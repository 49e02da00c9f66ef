// Text files that travel inside the program, so that it runs from anywhere and opens nothing to start.
//
// grading/CMakeLists.txt says which: the reference tables and their schema.
#pragma once

#include <optional>
#include <span>
#include <string_view>

namespace lastwright {

struct EmbeddedFile {
  std::string_view name;  // relative to the project: "reference-tables/scale-english.json"
  std::string_view text;
};

// Sorted by name.
std::span<const EmbeddedFile> embedded_files();
std::optional<std::string_view> embedded_file(std::string_view name);

}  // namespace lastwright
