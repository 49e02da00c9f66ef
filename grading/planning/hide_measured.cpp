#include "grading/planning/hide_measured.hpp"

#include <algorithm>
#include <limits>

#include "geometry/fill/fill_shape.hpp"

namespace lastwright {

double overlap_on_hide(const std::vector<std::vector<Polygon>>& laid, const FillRegion& hide,
                       const std::vector<Polygon>& holes) {
  double most = 0.0;
  for (std::size_t i = 0; i < laid.size(); ++i) {
    for (std::size_t k = 0; k < i; ++k) most = std::max(most, shared_area(laid[i], laid[k]));
    double outside = shared_area(laid[i], hide.pockets) + shared_area(laid[i], holes);
    for (const Polygon& part : laid[i]) outside += signed_area(part) - signed_area(clipped(part, hide.hull));
    most = std::max(most, outside);
  }
  return most;
}

double beyond_regions(const std::vector<Polygon>& laid, const std::vector<FillRegion>& regions,
                      const std::vector<std::size_t>& own) {
  double least = std::numeric_limits<double>::infinity();
  for (const std::size_t region : own) {
    double beyond = shared_area(laid, regions[region].pockets);
    for (const Polygon& part : laid)
      beyond += signed_area(part) - signed_area(clipped(part, regions[region].hull));
    least = std::min(least, beyond);
  }
  return least;
}

}  // namespace lastwright
