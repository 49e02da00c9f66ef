// How a piece may lie on a hide.
#pragma once

#include <string>
#include <vector>

namespace lastwright {

enum class HideDirection { kAlong, kAcross, kAny };

struct HideRule {
  std::vector<std::string> zones;                   // it comes from any one of these; empty: from anywhere
  HideDirection direction = HideDirection::kAlong;  // of its grain to the direction of the hide
  double within = 0.0;                              // degrees off that it may be turned
};

}  // namespace lastwright
