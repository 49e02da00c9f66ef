#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

// A fuzz target that the replay program holds under its own name.
struct ReplayTarget {
  std::string name;
  std::string corpus;  // its folder in tests/fuzz/corpus
  int (*run)(const std::uint8_t* data, std::size_t size);
};

// All of tests/fuzz/CMakeLists.txt, in its order.
const std::vector<ReplayTarget>& replay_targets();
