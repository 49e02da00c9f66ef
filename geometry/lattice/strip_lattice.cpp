#include "geometry/lattice/strip_lattice.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

#include "geometry/check/convex_region.hpp"
#include "geometry/lattice/lattice_seeds.hpp"

namespace lastwright {

namespace {

constexpr double kTouching = 1e-7;  // mm

// Half of how far the shape reaches along and across; its second shape, turned or mirrored about the middle
// of the box, reaches as far.
Vec2 half_size(const LatticeShape& shape) {
  const Box2 box = bounds(shape.polygon);
  return {std::max(box.high.x, -box.low.x), std::max(box.high.y, -box.low.y)};
}

// Each set of rows that lies within `room` across and has none to add, counted by the middles of their
// shapes; up to a whole step of the lattice there are no others.
std::vector<std::vector<StripRow>> rows_within(const Lattice& lattice, double room) {
  std::vector<std::vector<StripRow>> sets;
  if (room < 0.0) return sets;
  const int most = static_cast<int>(std::ceil(room / lattice.b.y)) + 2;
  std::vector<StripRow> rows;
  for (int j = -1; j <= most; ++j) {
    const Vec2 at = static_cast<double>(j) * lattice.b;
    rows.push_back({at.x, at.y, false});
    if (lattice.second) rows.push_back({at.x + lattice.second->x, at.y + lattice.second->y, true});
  }
  std::stable_sort(rows.begin(), rows.end(),
                   [](const StripRow& one, const StripRow& other) { return one.y < other.y; });
  constexpr double kRounding = 1e-9;  // mm
  for (std::size_t first = 0; first < rows.size() && first < 6; ++first) {
    std::size_t last = first;
    while (last < rows.size() && rows[last].y <= rows[first].y + room + kRounding) ++last;
    sets.emplace_back(rows.begin() + static_cast<std::ptrdiff_t>(first),
                      rows.begin() + static_cast<std::ptrdiff_t>(last));
    const double middle = 0.5 * (sets.back().front().y + sets.back().back().y);
    for (StripRow& row : sets.back()) row.y -= middle;
  }
  return sets;
}

// The best that the rows of a lattice come to.
StripLay laid(LatticeKind kind, const Lattice& lattice, const LatticeShape& shape, const StripSize& size) {
  StripLay best;
  const double room = size.width - 2.0 * half_size(shape).y;
  for (std::vector<StripRow>& rows : rows_within(lattice, room)) {
    StripLay one{kind, lattice, std::move(rows), lattice.a.x};
    if (size.length > 0.0) {
      one.held = shapes_in_sheet(one, shape, size.length);
      if (one.held == 0) continue;
    }
    if (best.rows.empty() || closer(one, best)) best = std::move(one);
  }
  return best;
}

struct KindOfStrip {
  SumObstacle same;
  std::unique_ptr<SumObstacle> other;
  std::unique_ptr<SumObstacle> mixed;
  KindOfStrip(const std::vector<Polygon>& parts, LatticeKind kind) : same(parts, parts) {
    const std::vector<Polygon> second = second_parts(parts, kind);
    if (second.empty()) return;
    mixed = std::make_unique<SumObstacle>(parts, second);
    if (kind != LatticeKind::kHalfTurned) other = std::make_unique<SumObstacle>(second, second);
  }
  [[nodiscard]] LatticeRules rules() const { return {&same, other.get(), mixed.get()}; }
};

}  // namespace

bool closer(const StripLay& one, const StripLay& other) {
  if (one.held != other.held) return one.held > other.held;
  return one.length_per_shape() < other.length_per_shape() * (1.0 - 1e-9);
}

StripLay densest_in_strip(const LatticeShape& shape, const std::vector<LatticeKind>& kinds,
                          const StripSize& size) {
  StripLay best;
  const Vec2 half = half_size(shape);
  const double reach = 2.0 * std::max(half.x, half.y);
  if (size.width < 2.0 * half.y || (size.length > 0.0 && size.length < 2.0 * half.x)) return best;
  for (const LatticeKind kind : kinds) {
    const KindOfStrip rough(shape.rough, kind);
    const KindOfStrip fine(shape.parts, kind);
    const int shapes = rough.mixed ? 2 : 1;
    for (const Lattice& seed :
         lattice_seeds(rough.rules(), {.least_area = 0.99 * shapes * shape.area, .level = true})) {
      const Polished coarse =
          polish(seed, rough.rules(),
                 {.first_step = 0.03 * reach, .last_step = 2e-4 * reach, .most_rounds = 40, .level = true});
      if (coarse.depth > 1e-3 * reach) continue;
      // The coarse polygon is larger: what it cannot do the fine one will hardly do better by a fiftieth.
      StripSize wider{size.width + 0.01 * reach, 0.0};
      if (size.length > 0.0) wider.length = 1.02 * size.length;
      const StripLay likely = laid(kind, coarse.lattice, shape, wider);
      if (likely.rows.empty()) continue;
      if (!best.rows.empty() && likely.held <= best.held &&
          likely.length_per_shape() > 1.02 * best.length_per_shape())
        continue;
      const Polished one = polish(coarse.lattice, fine.rules(),
                                  {.first_step = 0.01 * reach, .last_step = 1e-6 * reach, .level = true});
      if (one.depth > kTouching) continue;
      StripLay lay = laid(kind, one.lattice, shape, size);
      if (!lay.rows.empty() && (best.rows.empty() || closer(lay, best))) best = std::move(lay);
    }
  }
  return best;
}

StripLay closest_of(const LatticeShape& shape, const std::vector<StripHint>& hints, const StripSize& size) {
  StripLay best;
  const Vec2 half = half_size(shape);
  const double reach = 2.0 * std::max(half.x, half.y);
  for (const StripHint& hint : hints) {
    const KindOfStrip fine(shape.parts, hint.kind);
    const Polished polished = polish(hint.lattice, fine.rules(),
                                     {.first_step = 0.01 * reach, .last_step = 1e-6 * reach, .level = true});
    for (const Lattice& lattice : {reduced_level(hint.lattice), polished.lattice}) {
      if (deepest_overlap(lattice, fine.rules()) > kTouching) continue;
      StripLay lay = laid(hint.kind, lattice, shape, size);
      if (!lay.rows.empty() && (best.rows.empty() || closer(lay, best))) best = std::move(lay);
    }
  }
  return best;
}

int shapes_in_sheet(const StripLay& lay, const LatticeShape& shape, double length) {
  const double half = half_size(shape).x;
  const double room = length - 2.0 * half;
  if (room < 0.0) return 0;
  int best = 0;
  for (const StripRow& first : lay.rows) {
    int count = 0;
    for (const StripRow& row : lay.rows) {
      double x = std::fmod(row.x - first.x, lay.period);
      if (x < -1e-9) x += lay.period;
      if (x <= room) count += static_cast<int>(std::floor((room - x) / lay.period + 1e-12)) + 1;
    }
    best = std::max(best, count);
  }
  return best;
}

}  // namespace lastwright
