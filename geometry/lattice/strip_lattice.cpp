#include "geometry/lattice/strip_lattice.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

#include "geometry/check/convex_region.hpp"
#include "geometry/lattice/lattice_seeds.hpp"

namespace lastwright {

namespace {

// Half of how far the shape reaches along and across; its second shape, turned or mirrored about the middle
// of the box, reaches as far.
Vec2 half_size(const LatticeShape& shape) {
  const Box2 box = bounds(shape.polygon);
  return {std::max(box.high.x, -box.low.x), std::max(box.high.y, -box.low.y)};
}

// The most rows that lie within `room` across, counted by the middles of their shapes.
std::vector<StripRow> rows_within(const Lattice& lattice, double room) {
  const int most = static_cast<int>(std::ceil(room / lattice.b.y)) + 2;
  std::vector<StripRow> rows;
  for (int j = -1; j <= most; ++j) {
    const Vec2 at = static_cast<double>(j) * lattice.b;
    rows.push_back({at.x, at.y, false});
    if (lattice.second) rows.push_back({at.x + lattice.second->x, at.y + lattice.second->y, true});
  }
  std::stable_sort(rows.begin(), rows.end(),
                   [](const StripRow& one, const StripRow& other) { return one.y < other.y; });
  std::vector<StripRow> best;
  constexpr double kRounding = 1e-9;  // mm
  for (std::size_t first = 0; first < rows.size() && first < 6; ++first) {
    std::size_t last = first;
    while (last < rows.size() && rows[last].y <= rows[first].y + room + kRounding) ++last;
    if (last - first <= best.size()) continue;
    best.assign(rows.begin() + static_cast<std::ptrdiff_t>(first),
                rows.begin() + static_cast<std::ptrdiff_t>(last));
  }
  if (best.empty()) return best;
  const double middle = 0.5 * (best.front().y + best.back().y);
  for (StripRow& row : best) row.y -= middle;
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

StripLay densest_in_strip(const LatticeShape& shape, const std::vector<LatticeKind>& kinds, double width) {
  StripLay best;
  const Vec2 half = half_size(shape);
  const double size = 2.0 * std::max(half.x, half.y);
  const double room = width - 2.0 * half.y;
  if (room < 0.0) return best;
  for (const LatticeKind kind : kinds) {
    const KindOfStrip rough(shape.rough, kind);
    const KindOfStrip fine(shape.parts, kind);
    const int shapes = rough.mixed ? 2 : 1;
    for (const Lattice& seed :
         lattice_seeds(rough.rules(), {.least_area = 0.99 * shapes * shape.area, .level = true})) {
      const Polished coarse =
          polish(seed, rough.rules(),
                 {.first_step = 0.03 * size, .last_step = 2e-4 * size, .most_rounds = 40, .level = true});
      if (coarse.depth > 1e-3 * size) continue;
      // The coarse polygon is larger: what it cannot do the fine one will hardly do better by a tenth.
      const std::vector<StripRow> likely = rows_within(coarse.lattice, room + 0.01 * size);
      if (likely.empty() || (!best.rows.empty() && coarse.lattice.a.x / static_cast<double>(likely.size()) >
                                                       1.02 * best.length_per_shape()))
        continue;
      const Polished one = polish(coarse.lattice, fine.rules(),
                                  {.first_step = 0.01 * size, .last_step = 1e-6 * size, .level = true});
      if (one.depth > 1e-7) continue;
      StripLay lay{kind, one.lattice, rows_within(one.lattice, room), one.lattice.a.x};
      if (lay.rows.empty()) continue;
      if (best.rows.empty() || lay.length_per_shape() < best.length_per_shape() * (1.0 - 1e-9)) best = lay;
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
