// Names of dies or pieces for a note, each once, in the order in which they come.
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <vector>

#include "geometry/counted.hpp"

namespace lastwright {

struct DieNames {
  std::vector<std::string> list;
  void add(const std::string& name) {
    if (std::find(list.begin(), list.end(), name) == list.end()) list.push_back(name);
  }
  // The first ten, and how many more there are.
  [[nodiscard]] std::string text() const { return some_of(list, 10); }
  [[nodiscard]] std::string joined(const char* between) const {
    return fmt::format("{}", fmt::join(list, between));
  }
};

}  // namespace lastwright
