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
int shapes_of(LatticeKind kind) {
  return two_shapes(kind) ? 2 : 1;
}
bool is_mirrored(LatticeKind kind) {
  return kind == LatticeKind::kMirrored || kind == LatticeKind::kMirroredHalfTurned;
}

// What is forbidden, of one resolution: of the shape from itself and, for several kinds, of its image.
struct OwnObstacles {
  SumObstacle same;
  std::unique_ptr<SumObstacle> image;

  OwnObstacles(const std::vector<Polygon>& parts, const std::vector<LatticeKind>& kinds)
      : same(parts, parts) {
    if (std::any_of(kinds.begin(), kinds.end(), is_mirrored))
      image = std::make_unique<SumObstacle>(same.mirror_image());
  }
};

// The same with the second shape of one kind.
class Obstacles {
 public:
  Obstacles(const OwnObstacles& own, const std::vector<Polygon>& parts, LatticeKind kind)
      : own_(own), kind_(kind) {
    // The second shape lies round v: it overlaps the first where v is in first + (-second).
    if (two_shapes(kind)) mixed_ = std::make_unique<SumObstacle>(parts, second_parts(parts, kind));
  }
  [[nodiscard]] LatticeRules rules() const {
    // Turning both shapes half round changes nothing between them.
    return {&own_.same, is_mirrored(kind_) ? own_.image.get() : nullptr, mixed_.get()};
  }

 private:
  const OwnObstacles& own_;
  LatticeKind kind_;
  std::unique_ptr<SumObstacle> mixed_;
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

namespace {

// The greater side of the box.
double size_of(const LatticeShape& shape) {
  const Box2 box = bounds(shape.polygon);
  return std::max(box.width(), box.height());
}

bool known_exactly(const LatticeShape& shape, LatticeKind kind) {
  return shape.convex && !is_mirrored(kind);
}

// Coarse lattices, unlike each other, the smallest first: worth following up.
std::vector<Polished> coarse_lattices(const LatticeShape& shape, const Obstacles& rough, LatticeKind kind) {
  const double size = size_of(shape);
  std::vector<Polished> candidates;
  for (const Lattice& seed :
       lattice_seeds(rough.rules(), {.least_area = 0.99 * shapes_of(kind) * signed_area(shape.coarse)})) {
    const Polished one =
        polish(seed, rough.rules(), {.first_step = 0.03 * size, .last_step = 2e-4 * size, .most_rounds = 40});
    if (one.depth <= 1e-3 * size) candidates.push_back(one);
  }
  std::stable_sort(candidates.begin(), candidates.end(),
                   [](const Polished& one, const Polished& other) { return one.area < other.area; });
  constexpr std::size_t kFollowed = 4;
  std::vector<Polished> kept;
  for (const Polished& one : candidates) {
    if (kept.size() == kFollowed) break;
    // As large as the one before: most likely the same lattice again.
    if (kept.empty() || one.area >= kept.back().area * (1.0 + 1e-5)) kept.push_back(one);
  }
  return kept;
}

FoundLattice exact_lattice(const LatticeShape& shape, LatticeKind kind) {
  FoundLattice found;
  found.lattice = of_hull(shape, kind).front();
  found.least = found.lattice.cell_area() / shapes_of(kind);
  found.exact = true;
  return found;
}

// The best that the starts and the hull's own lattice are polished to, and what no lattice can go below.
FoundLattice polished_lattice(const LatticeShape& shape, const Obstacles& fine, LatticeKind kind,
                              std::vector<Lattice> starts, bool bound) {
  const std::vector<Lattice> hull = of_hull(shape, kind);
  starts.insert(starts.end(), hull.begin(), hull.end());
  const double size = size_of(shape);
  FoundLattice found;
  double best = 1e300;
  for (const Lattice& start : starts) {
    const Polished one = polish(start, fine.rules(), {.first_step = 0.01 * size, .last_step = 1e-7 * size});
    if (one.depth > 1e-7 || one.area >= best) continue;
    best = one.area;
    found.lattice = one.lattice;
  }
  // A bound: what the hull needs, shrunk until it forbids no more than the shape does.
  found.least = shape.area;
  if (bound && !hull.empty()) {
    const LatticeRules rules = fine.rules();
    const Polygon outer = convex_hull(shape.polygon);
    double share = covered_share(*rules.same, convex_sum(outer, half_turned(outer)));
    if (rules.mixed != nullptr)
      share = std::min(share, covered_share(*rules.mixed, convex_sum(outer, outer)));
    found.least = std::max(found.least, share * share * hull.front().cell_area() / shapes_of(kind));
  }
  return found;
}

FoundLattice measured(FoundLattice found, const LatticeShape& shape, LatticeKind kind) {
  found.kind = kind;
  found.per_shape = found.lattice.cell_area() / shapes_of(kind);
  found.density = shape.area / found.per_shape;
  found.overlap = shared_area(found.lattice, shape.parts, second_parts(shape.parts, kind));
  return found;
}

std::vector<Lattice> lattices_of(const std::vector<Polished>& coarse) {
  std::vector<Lattice> lattices;
  for (const Polished& one : coarse) lattices.push_back(one.lattice);
  return lattices;
}

}  // namespace

FoundLattice densest_lattice(const LatticeShape& shape, LatticeKind kind, const LatticeSearch& search) {
  if (known_exactly(shape, kind)) return measured(exact_lattice(shape, kind), shape, kind);
  std::vector<Lattice> starts = search.hints;
  if (!search.hints_only) {
    const OwnObstacles own(shape.rough, {kind});
    const std::vector<Lattice> more =
        lattices_of(coarse_lattices(shape, Obstacles(own, shape.rough, kind), kind));
    starts.insert(starts.end(), more.begin(), more.end());
  }
  const OwnObstacles own(shape.parts, {kind});
  const Obstacles fine(own, shape.parts, kind);
  return measured(polished_lattice(shape, fine, kind, std::move(starts), search.bound), shape, kind);
}

FoundLattice densest_lattice(const LatticeShape& shape, const std::vector<LatticeKind>& kinds, bool bound) {
  if (kinds.size() == 1) return densest_lattice(shape, kinds.front(), {.bound = bound});
  // The coarse outlines are drawn round the fine ones; what that adds to a lattice is about alike in all
  // kinds.
  constexpr double kClearlyLarger = 1.04;
  const OwnObstacles rough(shape.rough, kinds);
  const OwnObstacles fine(shape.parts, kinds);
  FoundLattice best;
  double least = 1e300;  // of the coarse lattices so far, for a shape
  for (const LatticeKind kind : kinds) {
    FoundLattice found;
    if (known_exactly(shape, kind)) {
      found = exact_lattice(shape, kind);
      least = std::min(least, found.least);
    } else {
      const std::vector<Polished> coarse = coarse_lattices(shape, Obstacles(rough, shape.rough, kind), kind);
      if (!coarse.empty()) {
        const double area = coarse.front().area / shapes_of(kind);
        if (area > kClearlyLarger * least) continue;
        least = std::min(least, area);
      }
      found = polished_lattice(shape, Obstacles(fine, shape.parts, kind), kind, lattices_of(coarse), bound);
    }
    found = measured(std::move(found), shape, kind);
    if (best.per_shape <= 0.0 || found.per_shape < best.per_shape * (1.0 - 1e-9)) best = found;
  }
  return best;
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
