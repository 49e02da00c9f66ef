// The outlines in tests/corpus/outlines: one file each, "x y bulge" a line, origin and reason in comments.
#pragma once

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "geometry/curve/arc_path.hpp"
#include "tests/support/outline_file.hpp"
#include "tests/support/places.hpp"

namespace lastwright::test {

struct NamedOutline {
  std::string name;
  ClosedArcPath path;
};

// Every outline, by name. Fails the test when there is none, or when a file does not say where it is from and
// why it is kept.
inline std::vector<NamedOutline> outline_corpus() {
  std::vector<NamedOutline> all;
  for (const auto& entry :
       std::filesystem::directory_iterator(test::project_dir() + "/tests/corpus/outlines")) {
    if (entry.path().extension() != ".txt") continue;
    const std::string name = entry.path().stem().string();
    INFO(name);
    std::ifstream file(entry.path());
    bool origin = false;
    bool why = false;
    for (std::string line; std::getline(file, line);) {
      origin = origin || line.rfind("# origin: ", 0) == 0;
      why = why || line.rfind("# why: ", 0) == 0;
    }
    REQUIRE(origin);
    REQUIRE(why);
    all.push_back({name, read_outline(entry.path().string())});
  }
  REQUIRE(all.size() >= 15);
  std::sort(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.name < b.name; });
  return all;
}

}  // namespace lastwright::test
