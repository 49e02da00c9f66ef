// Applies maps of space to a body exactly: every face and
// edge is refitted on knots chosen once for a whole run.
#pragma once

#include <span>
#include <vector>

#include "geometry/solid/body.hpp"
#include "geometry/solid/refit.hpp"
#include "geometry/solid/space_map.hpp"

namespace lastwright {

class BodyPlan {
 public:
  // Knots fine enough for each of the given maps (the extremes of a run): the images stay within `tolerance`
  // mm. Only the part of a surface that its face uses, and a little more, is kept.
  BodyPlan(const Body& base, std::span<const SpaceMap* const> extremes, double tolerance);

  // The image (of facets: by their corners): same topology, same parameters, same landmarks, mesh nodes on
  // the new surfaces. `error`: the largest distance from the exact image found at the span middles, mm.
  [[nodiscard]] Body image(const SpaceMap& map, double& error) const;
  [[nodiscard]] std::size_t poles() const;

 private:
  struct EdgePlan {
    GrevilleSolver solver;
    std::vector<Vec3> base;
    std::vector<std::pair<double, Vec3>> test;
  };
  const Body* base_;
  std::vector<SurfacePlan> faces_;
  std::vector<EdgePlan> edges_;
};

}  // namespace lastwright
