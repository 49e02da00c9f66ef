// Drawings on a roll of paper in their true shapes, as closely as they were found to lie.
#pragma once

#include <optional>
#include <vector>

#include "geometry/curve/arc_path.hpp"
#include "geometry/io/die_drawing.hpp"

namespace lastwright {

struct RollDrawing {
  Sheet sheet;
  ClosedArcPath outline;  // its outer cut line
  bool grain = false;     // turned half round at most; without a grain line by quarters
  std::vector<SheetText>
      caption;  // inside of its outline, turned with it; without one its title stands level
};

struct RollOptions {
  double width = 0.0;   // mm of the roll that may be drawn on
  double gap = 0.0;     // mm between two drawings
  double length = 0.0;  // mm: to be of use it is shorter
};

// Across from 0 to the width, along from 0. Sixty drawings
// at a time, the largest first, each as near to the beginning as it goes: bounded work, free of overlap,
// the same in every run. Empty where it would not be shorter than `length`.
std::optional<Sheet> roll_filled(const std::vector<RollDrawing>& drawings, const RollOptions& options);

}  // namespace lastwright
