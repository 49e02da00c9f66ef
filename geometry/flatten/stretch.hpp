// What flattening did to a surface: how far each triangle is stretched and squeezed.
#pragma once

#include "geometry/flatten/flat_lines.hpp"

namespace lastwright {

// Of the map from a triangle of the surface to its flat copy: its largest and smallest stretch (1: kept).
struct LocalStretch {
  double most = 1.0;
  double least = 1.0;
  [[nodiscard]] double worst() const;  // the larger of their distances from 1
};
LocalStretch stretch_of(const FlatCorners& shape, Vec2 a, Vec2 b, Vec2 c);

// Shares of the area: half of it, and 95 % of it, is stretched by less than this.
struct StretchFigures {
  double middle = 0.0;
  double high = 0.0;
  double worst = 0.0;
  double surface = 0.0;  // mm2
  double flat = 0.0;     // mm2
};
// Of the triangles that `counts` says; all without it.
StretchFigures stretch_figures(const FlatMesh& mesh, const std::vector<Vec2>& flat,
                               const std::vector<bool>& counts = {});

}  // namespace lastwright
