// What the holes of a hide take of it together, where some lie over one another or reach over its edge.
#pragma once

#include <optional>
#include <vector>

#include "geometry/check/convex_region.hpp"
#include "geometry/result.hpp"

namespace lastwright {

struct HolesTogether {
  double area = 0.0;        // mm^2 within the hide, each spot once
  double bounded_by = 0.0;  // mm: what is left of the hide's edge, and of the edges of the holes within it
  std::size_t within = 0;   // holes that do not reach over the edge; those that share area are one
};

// Nothing where they lie over one another in more parts than are reckoned with.
Result<std::optional<HolesTogether>> holes_together(const Polygon& hide, const std::vector<Polygon>& holes);

}  // namespace lastwright
