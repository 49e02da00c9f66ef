// Names of dies or pieces for a note, each once, in the order in which they come.
#pragma once

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include "geometry/counted.hpp"

namespace lastwright {

// Where each die that is there already stands in a row of its own, with all that notes say of it.
inline constexpr const char* kDiesThereFile = "dies-there.csv";
// Where each that no size is cut with does.
inline constexpr const char* kUnusedDiesFile = "owned-not-used.csv";
// Where each die of the order does.
inline constexpr const char* kDieLinesFile = "die-order.csv";

// The first ten, how many more there are, and where all of them stand: no note grows with an order.
inline std::string named_of(const std::vector<std::string>& all, const char* where,
                            std::string_view between = ", ") {
  constexpr std::size_t kNamed = 10;
  return some_of(all, kNamed, between) + (all.size() > kNamed ? std::string(", see ") + where : "");
}

struct DieNames {
  std::vector<std::string> list;
  void add(const std::string& name) {
    if (std::find(list.begin(), list.end(), name) == list.end()) list.push_back(name);
  }
  // See named_of.
  [[nodiscard]] std::string text(const char* where, std::string_view between = ", ") const {
    return named_of(list, where, between);
  }
};

}  // namespace lastwright
