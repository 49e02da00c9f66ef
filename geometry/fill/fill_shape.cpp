#include "geometry/fill/fill_shape.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/box2.hpp"
#include "geometry/lattice/convex_parts.hpp"

namespace lastwright {

namespace {

Polygon turned_polygon(const Polygon& polygon, Radians by) {
  // Quarter turns are exact: what lies level stays level.
  double c = std::cos(by.value());
  double s = std::sin(by.value());
  if (std::abs(c) < 1e-15) c = 0.0;
  if (std::abs(s) < 1e-15) s = 0.0;
  Polygon result;
  result.reserve(polygon.size());
  for (const Vec2 p : polygon) result.push_back({c * p.x - s * p.y, s * p.x + c * p.y});
  return result;
}

bool apart(const Box2& one, const Box2& other) {
  return one.high.x <= other.low.x || other.high.x <= one.low.x || one.high.y <= other.low.y ||
         other.high.y <= one.low.y;
}

}  // namespace

TurnedShape turned(const std::vector<Polygon>& parts, Radians by) {
  TurnedShape shape;
  Polygon all;
  for (const Polygon& part : parts) {
    shape.parts.push_back(turned_polygon(part, by));
    all.insert(all.end(), shape.parts.back().begin(), shape.parts.back().end());
  }
  shape.hull = convex_hull(std::move(all));
  return shape;
}

Result<FillRegion> fill_region(const Polygon& outline) {
  FillRegion region;
  region.outline = outline;
  region.hull = convex_hull(outline);
  // Walked from one corner of the hull to the next, the outline and that edge of the hull bound a pocket.
  const auto on_hull = [&](Vec2 p) {
    return std::find(region.hull.begin(), region.hull.end(), p) != region.hull.end();
  };
  const std::size_t count = outline.size();
  std::size_t first = 0;
  while (first < count && !on_hull(outline[first])) ++first;
  if (first == count) return Problem{Trouble::kGeometry, "the outline has no area", {}, {}, {}};
  for (std::size_t k = 0; k < count;) {
    Polygon pocket{outline[(first + k) % count]};
    do {
      ++k;
      pocket.push_back(outline[(first + k) % count]);
    } while (!on_hull(pocket.back()));
    if (pocket.size() < 3) continue;
    std::reverse(pocket.begin(), pocket.end());
    if (!(signed_area(pocket) > 1e-9)) continue;  // points that lie on the hull's edge
    Result<std::vector<Polygon>> parts = convex_parts(pocket);
    if (!parts) return parts.problem();
    region.pockets.insert(region.pockets.end(), parts->begin(), parts->end());
  }
  return region;
}

std::vector<Polygon> outside_of(const Polygon& convex) {
  const double far = 3.0 * diameter(convex);
  std::vector<Polygon> boxes;
  for (std::size_t i = 0; i < convex.size(); ++i) {
    const Vec2 a = convex[i];
    const Vec2 b = convex[(i + 1) % convex.size()];
    const Vec2 along = far * unit(b - a);
    const Vec2 out = -left_of(along);
    boxes.push_back({a - along, a - along + out, b + along + out, b + along});
  }
  return boxes;
}

std::vector<Polygon> moved_parts(const std::vector<Polygon>& parts, Vec2 by) {
  std::vector<Polygon> result = parts;
  for (Polygon& part : result) {
    for (Vec2& p : part) p += by;
  }
  return result;
}

double shared_area(const std::vector<Polygon>& one, const std::vector<Polygon>& other) {
  double sum = 0.0;
  for (const Polygon& a : one) {
    const Box2 box = bounds(a);
    for (const Polygon& b : other) {
      if (!apart(box, bounds(b))) sum += std::max(0.0, signed_area(clipped(a, b)));
    }
  }
  return sum;
}

}  // namespace lastwright
