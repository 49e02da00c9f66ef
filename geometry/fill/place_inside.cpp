#include "geometry/fill/place_inside.hpp"

#include "geometry/box2.hpp"
#include "geometry/fill/free_places.hpp"

namespace lastwright {

std::optional<Vec2> place_inside(const LatticeShape& shape, const LatticeShape& holder) {
  constexpr double kOutside = 1e-9;     // mm
  constexpr std::size_t kCells = 4000;  // of the picture of places: they are few, the shapes being alike
  const Box2 own = bounds(shape.polygon);
  const Box2 all = bounds(holder.polygon);
  if (own.width() > all.width() + kOutside || own.height() > all.height() + kOutside) return {};
  const Result<FillRegion> region = fill_region(holder.polygon);
  if (!region) return {};
  const FreePlaces places(turned(shape.parts, Radians(0.0)), *region, kCells);
  if (places.depth({}) <= kOutside) return Vec2{};
  return places.leftmost();
}

}  // namespace lastwright
