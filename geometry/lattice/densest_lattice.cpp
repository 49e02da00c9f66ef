#include "geometry/lattice/densest_lattice.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

#include "geometry/check/convex_region.hpp"
#include "geometry/lattice/convex_lattice.hpp"
#include "geometry/lattice/convex_parts.hpp"
#include "geometry/lattice/covered_share.hpp"
#include "geometry/lattice/lattice_seeds.hpp"
#include "geometry/lattice/outer_polygon.hpp"

namespace lastwright {

namespace {

Polygon moved(Polygon polygon, Vec2 by) {
  for (Vec2& p : polygon) p += by;
  return polygon;
}

bool two_shapes(LatticeKind kind) {
  return kind != LatticeKind::kTranslated;
}

// What is forbidden, of one resolution.
struct Obstacles {
  SumObstacle same;
  std::unique_ptr<SumObstacle> other;
  std::unique_ptr<SumObstacle> mixed;

  Obstacles(const std::vector<Polygon>& parts, LatticeKind kind) : same(parts, parts) {
    if (!two_shapes(kind)) return;
    // The second shape lies round v: it overlaps the first where v is in first + (-second).
    const std::vector<Polygon> second = second_parts(parts, kind);
    mixed = std::make_unique<SumObstacle>(parts, second);
    if (kind != LatticeKind::kHalfTurned) other = std::make_unique<SumObstacle>(second, second);
  }
  [[nodiscard]] LatticeRules rules() const { return {&same, other.get(), mixed.get()}; }
};

// The exact lattice of the hull as one of the kind, where there is one: a sound beginning.
std::vector<Lattice> of_hull(const LatticeShape& shape, LatticeKind kind) {
  const Polygon hull = convex_hull(shape.polygon);
  if (kind == LatticeKind::kTranslated) return {densest_convex_translates(hull)};
  if (kind == LatticeKind::kHalfTurned) return {densest_convex_half_turned(hull)};
  return {};
}

}  // namespace

const char* name_of(LatticeKind kind) {
  switch (kind) {
    case LatticeKind::kTranslated:
      return "translated";
    case LatticeKind::kHalfTurned:
      return "half turned";
    case LatticeKind::kMirrored:
      return "mirrored";
    case LatticeKind::kMirroredHalfTurned:
      return "mirrored and half turned";
  }
  return "";
}

Result<LatticeShape> lattice_shape(const ClosedArcPath& outline, Millimetres error) {
  LatticeShape shape;
  const Box2 box = bounds(outline);
  shape.middle = box.centre();
  shape.area = signed_area(outline);
  const double size = std::max(box.width(), box.height());
  Result<Polygon> fine = outer_polygon(outline, error);
  if (!fine) return fine.problem();
  Result<Polygon> coarse = outer_polygon(outline, Millimetres(std::max(error.value(), size / 200.0)));
  if (!coarse) return coarse.problem();
  shape.polygon = moved(*std::move(fine), -shape.middle);
  shape.coarse = moved(*std::move(coarse), -shape.middle);
  Result<std::vector<Polygon>> parts = convex_parts(shape.polygon);
  if (!parts) return parts.problem();
  shape.parts = *std::move(parts);
  parts = convex_parts(shape.coarse);
  if (!parts) return parts.problem();
  shape.rough = *std::move(parts);
  shape.convex = is_convex(shape.polygon);
  return shape;
}

LatticeShape mirrored(const LatticeShape& shape) {
  LatticeShape image = shape;
  image.polygon = mirrored(shape.polygon);
  image.coarse = mirrored(shape.coarse);
  for (Polygon& part : image.parts) part = mirrored(part);
  for (Polygon& part : image.rough) part = mirrored(part);
  image.middle = {-shape.middle.x, shape.middle.y};
  return image;
}

std::vector<Polygon> second_parts(const std::vector<Polygon>& parts, LatticeKind kind) {
  std::vector<Polygon> second;
  if (!two_shapes(kind)) return second;
  for (const Polygon& part : parts) {
    Polygon image = kind == LatticeKind::kHalfTurned ? part : mirrored(part);
    second.push_back(kind == LatticeKind::kMirrored ? image : half_turned(image));
  }
  return second;
}

FoundLattice densest_lattice(const LatticeShape& shape, LatticeKind kind, const LatticeSearch& search) {
  FoundLattice found;
  found.kind = kind;
  const int shapes = two_shapes(kind) ? 2 : 1;
  const Box2 box = [&] {
    Box2 all;
    for (const Vec2 p : shape.polygon) all.add(p);
    return all;
  }();
  const double size = std::max(box.width(), box.height());
  found.exact = shape.convex && kind != LatticeKind::kMirrored && kind != LatticeKind::kMirroredHalfTurned;
  const std::vector<Lattice> hull = of_hull(shape, kind);
  if (found.exact) {
    found.lattice = hull.front();
    found.least = found.lattice.cell_area() / shapes;
  } else {
    std::vector<Lattice> starts = search.hints;
    starts.insert(starts.end(), hull.begin(), hull.end());
    if (!search.hints_only) {
      const Obstacles rough(shape.rough, kind);
      const double step = 0.03 * size;
      std::vector<Polished> candidates;
      for (const Lattice& seed :
           lattice_seeds(rough.rules(), {.least_area = 0.99 * shapes * signed_area(shape.coarse)})) {
        const Polished one =
            polish(seed, rough.rules(), {.first_step = step, .last_step = 2e-4 * size, .most_rounds = 40});
        if (one.depth <= 1e-3 * size) candidates.push_back(one);
      }
      std::stable_sort(candidates.begin(), candidates.end(),
                       [](const Polished& one, const Polished& other) { return one.area < other.area; });
      double last = 0.0;
      std::size_t kept = 0;
      for (const Polished& one : candidates) {
        if (kept == 4) break;
        if (one.area < last * (1.0 + 1e-5)) continue;  // most likely the same lattice again
        last = one.area;
        ++kept;
        starts.push_back(one.lattice);
      }
    }
    const Obstacles fine(shape.parts, kind);
    double best = 1e300;
    for (const Lattice& start : starts) {
      const Polished one = polish(start, fine.rules(), {.first_step = 0.01 * size, .last_step = 1e-7 * size});
      if (one.depth > 1e-7 || one.area >= best) continue;
      best = one.area;
      found.lattice = one.lattice;
    }
    // A bound: what the hull needs, shrunk until it forbids no more than the shape does.
    found.least = shape.area;
    if (!hull.empty()) {
      const Polygon outer = convex_hull(shape.polygon);
      double share = covered_share(fine.same, convex_sum(outer, half_turned(outer)));
      if (fine.mixed) share = std::min(share, covered_share(*fine.mixed, convex_sum(outer, outer)));
      found.least = std::max(found.least, share * share * hull.front().cell_area() / shapes);
    }
  }
  found.per_shape = found.lattice.cell_area() / shapes;
  found.density = shape.area / found.per_shape;
  found.overlap = shared_area(found.lattice, shape.parts, second_parts(shape.parts, kind));
  return found;
}

double shared_area(const Lattice& lattice, const std::vector<Polygon>& first,
                   const std::vector<Polygon>& second) {
  const Lattice basis = reduced(lattice);
  double worst = 0.0;
  const auto pairs = [&](const std::vector<Polygon>& one, const std::vector<Polygon>& other, Vec2 from,
                         bool alike) {
    double reach = 0.0;
    for (const auto* parts : {&one, &other}) {
      double radius = 0.0;
      for (const Polygon& part : *parts) {
        for (const Vec2 p : part) radius = std::max(radius, norm(p));
      }
      reach += radius;
    }
    for (const LatticeStep& step : steps_within(basis, from, {}, reach)) {
      if (alike && (step.i < 0 || (step.i == 0 && step.j <= 0))) continue;
      const Vec2 v = from + step.i * basis.a + step.j * basis.b;
      double shared = 0.0;
      for (const Polygon& part : one) {
        const Box2 box = bounds(part);
        for (const Polygon& piece : other) {
          Polygon there = moved(piece, v);
          if (!box.overlaps(bounds(there))) continue;
          const Polygon both = clipped(std::move(there), part);
          if (both.size() > 2) shared += std::abs(signed_area(both));
        }
      }
      worst = std::max(worst, shared);
    }
  };
  pairs(first, first, {}, true);
  if (!second.empty()) {
    pairs(second, second, {}, true);
    pairs(first, second, *basis.second, false);
  }
  return worst;
}

}  // namespace lastwright
