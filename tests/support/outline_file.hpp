// Reads an outline of tests/corpus/outlines: "x y bulge"
// a line, comments behind '#'. Throws what is no outline.
#pragma once

#include <charconv>
#include <fstream>
#include <stdexcept>
#include <string>

#include "geometry/curve/arc_path.hpp"

namespace lastwright::test {

inline ClosedArcPath read_outline(const std::string& file_name) {
  ClosedArcPath path;
  std::ifstream file(file_name);
  for (std::string line; std::getline(file, line);) {
    if (line.empty() || line[0] == '#') continue;
    double number[3] = {};
    const char* at = line.data();
    for (double& x : number) {
      while (*at == ' ') ++at;
      const auto [end, error] = std::from_chars(at, line.data() + line.size(), x);
      if (error != std::errc()) throw std::runtime_error(file_name + ": not x y bulge: " + line);
      at = end;
    }
    path.vertices.push_back({{number[0], number[1]}, number[2]});
  }
  if (path.size() < 2) throw std::runtime_error(file_name + ": no outline");
  return path;
}

}  // namespace lastwright::test
