// The outlines in tests/corpus/outlines: one file each, "x y bulge" a line, origin and reason in comments.
#pragma once

#include <algorithm>
#include <catch2/catch.hpp>
#include <charconv>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "geometry/curve/arc_path.hpp"

namespace lastwright::test {

struct NamedOutline {
  std::string name;
  ClosedArcPath path;
};

// Every outline, by name. Fails the test when there is none, or when a file does not say where it is from and
// why it is kept.
inline std::vector<NamedOutline> outline_corpus() {
  std::vector<NamedOutline> all;
  for (const auto& entry : std::filesystem::directory_iterator(PROJECT_DIR "/tests/corpus/outlines")) {
    if (entry.path().extension() != ".txt") continue;
    NamedOutline outline{entry.path().stem().string(), {}};
    INFO(outline.name);
    std::ifstream file(entry.path());
    bool origin = false;
    bool why = false;
    for (std::string line; std::getline(file, line);) {
      origin = origin || line.rfind("# origin: ", 0) == 0;
      why = why || line.rfind("# why: ", 0) == 0;
      if (line.empty() || line[0] == '#') continue;
      double number[3] = {};
      const char* at = line.data();
      for (double& x : number) {
        while (*at == ' ') ++at;
        const auto [end, error] = std::from_chars(at, line.data() + line.size(), x);
        REQUIRE(error == std::errc());
        at = end;
      }
      outline.path.vertices.push_back({{number[0], number[1]}, number[2]});
    }
    REQUIRE(origin);
    REQUIRE(why);
    REQUIRE(outline.path.size() >= 2);
    all.push_back(std::move(outline));
  }
  REQUIRE(all.size() >= 15);
  std::sort(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.name < b.name; });
  return all;
}

}  // namespace lastwright::test
