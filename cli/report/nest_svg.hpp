// The nest: one piece in all its sizes, or all its widths, drawn over each other at true scale.
//
// Read at a glance: the base is the heavy black outline, smaller ones are blue, larger ones vermilion,
// in-between sizes thinner. Each outline carries its label on a thin leader from where the nest is widest
// open. A cross in a ring is the fixed point, which stays where it is in every size.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geometry/curve/arc_path.hpp"

namespace lastwright {

struct NestOutline {
  std::string label = {};               // "8.5", "F"
  ClosedArcPath path = {};              // in the frame of the forme
  std::vector<OpenArcPath> lines = {};  // stitch lines, marks
  bool is_base = false;
  bool minor = false;  // an in-between size: drawn thinner
};

struct NestOptions {
  std::string title = {};           // "vamp"
  std::string subtitle = {};        // "sizes 5 to 13 in width F, base 8 F"
  std::string smaller = "smaller";  // what the legend calls those before the base: "smaller", "narrower"
  std::string larger = "larger";
  std::string minor = {};          // "half sizes"; empty: not in the legend
  std::optional<Vec2> fixed = {};  // the fixed point, in the frame of the forme
};

// Outlines from the smallest to the largest. An empty nest gives a page that says so.
std::string nest_svg(const std::vector<NestOutline>& outlines, const NestOptions& options);

}  // namespace lastwright
