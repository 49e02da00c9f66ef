#include "geometry/curve/polygon_contact.hpp"

#include <algorithm>
#include <cstdint>

#include "geometry/box2.hpp"
#include "geometry/curve/arc_segment.hpp"

namespace lastwright {

namespace {

struct InCell {
  std::uint32_t cell;
  std::uint32_t edge;
};

// Grid with about as many cells as edges over the polygon's box.
struct Grid {
  Vec2 low;
  double cell = 1.0;
  std::uint32_t columns = 1;
  std::uint32_t rows = 1;

  [[nodiscard]] std::uint32_t column(double x) const { return clamped((x - low.x) / cell, columns); }
  [[nodiscard]] std::uint32_t row(double y) const { return clamped((y - low.y) / cell, rows); }
  static std::uint32_t clamped(double k, std::uint32_t count) {
    return k <= 0.0 ? 0 : std::min(static_cast<std::uint32_t>(k), count - 1);
  }
};

Grid grid_over(const Box2& box, std::size_t edges) {
  const double longer = std::max(box.width(), box.height());
  const double area = std::max(box.width() * box.height(), longer * longer / static_cast<double>(edges));
  Grid grid{box.low, std::sqrt(area / static_cast<double>(edges)), 1, 1};
  grid.columns = static_cast<std::uint32_t>(box.width() / grid.cell) + 1;
  grid.rows = static_cast<std::uint32_t>(box.height() / grid.cell) + 1;
  return grid;
}

// Enters the edge in every cell it passes, row by row, so that long slanting edges stay cheap.
void enter(const Grid& grid, Vec2 a, Vec2 b, double margin, std::uint32_t edge, std::vector<InCell>& cells) {
  if (a.y > b.y) std::swap(a, b);
  const double slope = b.y > a.y ? (b.x - a.x) / (b.y - a.y) : 0.0;
  const std::uint32_t last = grid.row(b.y + margin);
  for (std::uint32_t row = grid.row(a.y - margin); row <= last; ++row) {
    double x0 = a.x;
    double x1 = b.x;
    if (b.y > a.y) {
      const double y0 = std::clamp(grid.low.y + row * grid.cell - margin, a.y, b.y);
      const double y1 = std::clamp(grid.low.y + (row + 1) * grid.cell + margin, a.y, b.y);
      x0 = a.x + slope * (y0 - a.y);
      x1 = a.x + slope * (y1 - a.y);
    }
    const std::uint32_t end = grid.column(std::max(x0, x1) + margin);
    for (std::uint32_t column = grid.column(std::min(x0, x1) - margin); column <= end; ++column) {
      cells.push_back({row * grid.columns + column, edge});
    }
  }
}

std::optional<Vec2> contact(const ArcSegment& one, const ArcSegment& two, double touch) {
  const Vec2 u = one.b - one.a;
  const Vec2 v = two.b - two.a;
  // Only guards the division: of edges nearly on one line the quotients are rounding and may say anything, so
  // a crossing counts when its point on the one edge is found on the other as well. Edges that cross at so
  // small an angle that this fails have an end within `touch` of each other.
  const double denominator = cross(u, v);
  if (denominator != 0.0) {
    const double s = cross(two.a - one.a, v) / denominator;
    if (s >= 0.0 && s <= 1.0) {
      const Vec2 p = lerp(one.a, one.b, s);
      if (two.distance_to(p) <= touch) return p;
    }
  }
  for (Vec2 p : {two.a, two.b}) {
    if (one.distance_to(p) <= touch) return p;
  }
  for (Vec2 p : {one.a, one.b}) {
    if (two.distance_to(p) <= touch) return p;
  }
  return std::nullopt;
}

}  // namespace

std::optional<Vec2> self_contact(const std::vector<Vec2>& polygon, Millimetres touch) {
  const std::size_t n = polygon.size();
  const auto edge = [&](std::size_t i) {
    return ArcSegment{polygon[i], polygon[i + 1 == n ? 0 : i + 1], 0.0};
  };
  std::size_t first = n;
  std::optional<Vec2> where;
  const auto found = [&](std::size_t i, Vec2 p) {
    if (i < first) {
      first = i;
      where = p;
    }
  };

  for (std::size_t i = 0; i < n; ++i) {
    const ArcSegment before = edge(i);
    const ArcSegment after = edge((i + 1) % n);
    if (dot(before.b - before.a, after.b - after.a) >= 0.0) continue;
    if (before.distance_to(after.b) <= touch.value() || after.distance_to(before.a) <= touch.value()) {
      found(i, before.b);
    }
  }

  Box2 box;
  for (Vec2 p : polygon) box.add(p);
  const Grid grid = grid_over(box, n);
  std::vector<InCell> cells;
  cells.reserve(4 * n);
  for (std::size_t i = 0; i < n; ++i) {
    enter(grid, edge(i).a, edge(i).b, touch.value(), static_cast<std::uint32_t>(i), cells);
  }
  std::sort(cells.begin(), cells.end(), [](const InCell& a, const InCell& b) {
    return a.cell != b.cell ? a.cell < b.cell : a.edge < b.edge;
  });
  for (std::size_t i = 0; i < cells.size(); ++i) {
    for (std::size_t k = i + 1; k < cells.size() && cells[k].cell == cells[i].cell; ++k) {
      const std::size_t one = cells[i].edge;
      const std::size_t two = cells[k].edge;
      if (two - one <= 1 || two - one == n - 1) continue;
      if (const std::optional<Vec2> p = contact(edge(one), edge(two), touch.value())) found(one, *p);
    }
  }
  return where;
}

}  // namespace lastwright
