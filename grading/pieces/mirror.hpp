// Mirror images in the fold of a piece that is cut double.
#pragma once

#include "geometry/curve/arc_path.hpp"

namespace lastwright {

// Mirror image in the line through `on` along the unit vector `along`.
struct Mirror {
  Vec2 on;
  Vec2 along;
  Vec2 operator()(Vec2 p) const {
    const Vec2 d = p - on;
    return on + 2.0 * dot(d, along) * along - d;
  }
  // Above 0 on the left of the line: the drawn half, where the fold is walked in the order of the outline.
  [[nodiscard]] double side(Vec2 p) const { return cross(along, p - on); }
  template <class Path>
  [[nodiscard]] Path image(Path path) const {  // turns the orientation over
    for (ArcVertex& v : path.vertices) v = {(*this)(v.at), -v.bulge};
    return path;
  }
};

}  // namespace lastwright
