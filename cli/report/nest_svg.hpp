// The nest: one piece in all its sizes, or all its widths, drawn over each other at true scale.
//
// Read at a glance: the base is the heavy black outline, smaller ones are blue, larger ones vermilion,
// in-between sizes thinner. Each outline carries its label on a thin leader from where the nest is widest
// open. A cross in a ring is the point that keeps its place in every size. Holes and cut-outs are drawn with
// their outline; the net line inside a cut line only for the base.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "geometry/curve/arc_path.hpp"

namespace lastwright {

// Before the base, the base itself, or behind it.
enum class NestPlace { kSmaller, kBase, kLarger };

struct NestOutline {
  std::string label = {};   // "8.5", "F"
  ClosedArcPath path = {};  // all outlines of a nest in one frame
  std::vector<ClosedArcPath> cut_outs = {};
  std::vector<std::pair<Vec2, double>> holes = {};  // centre and radius
  std::optional<ClosedArcPath> net = {};            // inside a cut line
  NestPlace place = NestPlace::kLarger;
  bool minor = false;  // an in-between size: drawn thinner
};

struct NestOptions {
  std::string title = {};           // "vamp"
  std::string subtitle = {};        // "sizes 5 to 13 in width F, base 8 F"
  std::string smaller = "smaller";  // what the legend calls those before the base: "smaller", "narrower"
  std::string larger = "larger";
  std::string minor = {};                 // "half sizes"; empty: not in the legend
  std::optional<Vec2> kept = {};          // the point that keeps its place
  std::string kept_name = "fixed point";  // what stands at it
};

// Outlines from the smallest to the largest. An empty nest gives a page that says so.
std::string nest_svg(const std::vector<NestOutline>& outlines, const NestOptions& options);

}  // namespace lastwright
