#include "geometry/fill/strip_family.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "geometry/box2.hpp"
#include "geometry/fill/place_inside.hpp"
#include "geometry/lattice/convex_parts.hpp"

namespace lastwright {

namespace {

// As drawn, turned half round, mirrored in x = 0 and in y = 0: the signs of x and y.
constexpr Vec2 kImages[] = {{1.0, 1.0}, {-1.0, -1.0}, {-1.0, 1.0}, {1.0, -1.0}};

Vec2 times(Vec2 one, Vec2 other) {
  return {one.x * other.x, one.y * other.y};
}

// How the second shape of a cell comes from the first.
Vec2 image_of(LatticeKind kind) {
  switch (kind) {
    case LatticeKind::kHalfTurned:
      return kImages[1];
    case LatticeKind::kMirrored:
      return kImages[2];
    case LatticeKind::kMirroredHalfTurned:
      return kImages[3];
    case LatticeKind::kTranslated:
      break;
  }
  return kImages[0];
}

LatticeShape imaged(const LatticeShape& shape, Vec2 image) {
  LatticeShape to = image.x * image.y < 0.0 ? mirrored(shape) : shape;
  const bool turn = image.y < 0.0;
  for (auto* list : {&to.parts, &to.rough}) {
    for (Polygon& part : *list) part = turn ? half_turned(part) : part;
  }
  if (turn) {
    to.polygon = half_turned(to.polygon);
    to.coarse = half_turned(to.coarse);
  }
  return to;
}

// The lattice seen in the image, each shape of it replaced by one that lies at `place` in it.
Lattice in_places(const StripLay& lay, Vec2 image, Vec2 place) {
  Lattice lattice = lay.lattice;
  lattice.a = times(lattice.a, image);
  lattice.b = times(lattice.b, image);
  if (lattice.a.x < 0.0) lattice.a = -lattice.a;
  if (lattice.b.y < 0.0) lattice.b = -lattice.b;
  if (lattice.second)
    lattice.second = times(*lattice.second, image) + times(place, image_of(lay.kind)) - place;
  return lattice;
}

Lattice stretched(Lattice lattice, Vec2 by) {
  lattice.a = times(lattice.a, by);
  lattice.b = times(lattice.b, by);
  if (lattice.second) lattice.second = times(*lattice.second, by);
  return lattice;
}

// Lattices for the shape that the lay of a larger one gives.
std::vector<StripHint> hints_of(const LatticeShape& shape, const LatticeShape& larger, const StripLay& lay) {
  std::vector<StripHint> hints;
  for (const Vec2 image : kImages) {
    const std::optional<Vec2> place = place_inside(shape, imaged(larger, image));
    if (!place) continue;
    hints.push_back({lay.kind, in_places(lay, image, *place)});
    return hints;
  }
  const Box2 own = bounds(shape.polygon);
  const Box2 other = bounds(larger.polygon);
  const Vec2 by{own.width() / other.width(), own.height() / other.height()};
  hints.push_back({lay.kind, lay.lattice});
  hints.push_back({lay.kind, stretched(lay.lattice, by)});
  return hints;
}

}  // namespace

void share_lays(const std::vector<StripShape>& shapes, const StripSize& size, std::vector<StripLay>& lays) {
  std::vector<std::size_t> order(shapes.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t one, std::size_t other) {
    return shapes[one].shape->area > shapes[other].shape->area;
  });
  for (std::size_t k = 0; k < order.size(); ++k) {
    const StripShape& mine = shapes[order[k]];
    StripLay& lay = lays[order[k]];
    // Those of the larger shapes are as they will be.
    std::vector<std::size_t> better;
    for (std::size_t j = 0; j < k; ++j) {
      const StripLay& other = lays[order[j]];
      if (other.rows.empty() || (!lay.rows.empty() && !closer(other, lay))) continue;
      if (std::find(mine.kinds.begin(), mine.kinds.end(), other.kind) != mine.kinds.end())
        better.push_back(order[j]);
    }
    std::stable_sort(better.begin(), better.end(),
                     [&](std::size_t one, std::size_t other) { return closer(lays[one], lays[other]); });
    for (const std::size_t j : better) {
      if (!lay.rows.empty() && !closer(lays[j], lay)) break;
      StripLay found = closest_of(*mine.shape, hints_of(*mine.shape, *shapes[j].shape, lays[j]), size);
      if (!found.rows.empty() && (lay.rows.empty() || closer(found, lay))) lay = std::move(found);
    }
  }
}

}  // namespace lastwright
