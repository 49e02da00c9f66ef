// Finds the folder of material that lies beside the project, when it is there, and reads files.
#pragma once

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <optional>
#include <string>

#include "tests/support/places.hpp"

namespace lastwright::test {

// `shared/<part>`: under $LASTWRIGHT_SHARED, else beside the project or one level further up. Empty when
// absent: the test must then say that it was skipped.
inline std::optional<std::filesystem::path> shared_folder(const std::string& part) {
  namespace fs = std::filesystem;
  const auto if_there = [&](const fs::path& shared) -> std::optional<fs::path> {
    std::error_code ignored;
    return fs::is_directory(shared / part, ignored) ? std::optional(shared / part) : std::nullopt;
  };
  if (const char* named = std::getenv("LASTWRIGHT_SHARED")) return if_there(named);
  const fs::path project = project_dir();
  if (auto beside = if_there(project / ".." / "shared")) return beside;
  return if_there(project / ".." / ".." / "shared");
}

inline std::string read_bytes(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace lastwright::test
