#include "geometry/flatten/grid_patch.hpp"

#include <algorithm>
#include <cmath>

namespace lastwright {

namespace {

Vec3 on_chain(const std::vector<Vec3>& points, const std::vector<std::uint32_t>& chain, double share) {
  double left = share * length_of(points, chain);
  for (std::size_t i = 1; i < chain.size(); ++i) {
    const Vec3 a = points[chain[i - 1]];
    const Vec3 b = points[chain[i]];
    const double step = distance(a, b);
    if (left <= step) return lerp(a, b, step > 0.0 ? left / step : 0.0);
    left -= step;
  }
  return points[chain.back()];
}

// Fills the inner nodes that lie in each triangle; where rounding
// puts one between two, the triangle it lies deepest in.
void fill_inside(const SquareMap& map, GridPatch& grid, std::vector<double>& depth) {
  const double across = grid.columns - 1;
  const double up = grid.rows - 1;
  for (const Corners& t : map.skin.mesh.triangles) {
    const std::array<Vec2, 3> q{map.uv[t[0]], map.uv[t[1]], map.uv[t[2]]};
    const auto [x0, x1] = std::minmax({q[0].x, q[1].x, q[2].x});
    const auto [y0, y1] = std::minmax({q[0].y, q[1].y, q[2].y});
    const double area = cross(q[1] - q[0], q[2] - q[0]);
    const auto last = [](double at, double most) {
      return static_cast<std::uint32_t>(std::clamp(std::floor(at), 0.0, most));
    };
    for (std::uint32_t j = last(y0 * up, up - 1.0); j <= last(std::ceil(y1 * up), up); ++j) {
      for (std::uint32_t i = last(x0 * across, across - 1.0); i <= last(std::ceil(x1 * across), across);
           ++i) {
        const Vec2 p{i / across, j / up};
        std::array<double, 3> w{};
        for (std::size_t k = 0; k < 3; ++k) w[k] = cross(q[(k + 1) % 3] - p, q[(k + 2) % 3] - p) / area;
        const double inside = std::min({w[0], w[1], w[2]});
        const std::uint32_t n = grid.node(i, j);
        if (!(inside > depth[n])) continue;
        depth[n] = inside;
        const std::vector<Vec3>& points = map.skin.mesh.points;
        grid.mesh.points[n] = w[0] * points[t[0]] + w[1] * points[t[1]] + w[2] * points[t[2]];
      }
    }
  }
}

bool rising_is_shorter(const GridPatch& one, const GridPatch& other, std::uint32_t i, std::uint32_t j) {
  double rising = 0.0;
  double falling = 0.0;
  for (const GridPatch* g : {&one, &other}) {
    rising += distance(g->mesh.points[g->node(i, j)], g->mesh.points[g->node(i + 1, j + 1)]);
    falling += distance(g->mesh.points[g->node(i + 1, j)], g->mesh.points[g->node(i, j + 1)]);
  }
  return rising <= falling;
}

}  // namespace

std::vector<std::uint32_t> GridPatch::side(std::size_t s) const {
  std::vector<std::uint32_t> chain;
  const std::uint32_t count = s % 2 == 0 ? columns : rows;
  for (std::uint32_t k = 0; k < count; ++k) {
    chain.push_back(s == 0   ? node(k, 0)
                    : s == 1 ? node(columns - 1, k)
                    : s == 2 ? node(k, rows - 1)
                             : node(0, k));
  }
  return chain;
}

void split_alike(GridPatch& one, GridPatch& other) {
  std::vector<Corners> triangles;
  for (std::uint32_t j = 0; j + 1 < one.rows; ++j) {
    for (std::uint32_t i = 0; i + 1 < one.columns; ++i) {
      const std::uint32_t a = one.node(i, j);
      const std::uint32_t b = one.node(i + 1, j);
      const std::uint32_t c = one.node(i + 1, j + 1);
      const std::uint32_t d = one.node(i, j + 1);
      if (rising_is_shorter(one, other, i, j)) {
        triangles.push_back({a, b, c});
        triangles.push_back({a, c, d});
      } else {
        triangles.push_back({a, b, d});
        triangles.push_back({b, c, d});
      }
    }
  }
  other.mesh.triangles = triangles;
  one.mesh.triangles = std::move(triangles);
}

Result<GridPatch> sample_grid(const SquareMap& map, std::uint32_t columns, std::uint32_t rows) {
  GridPatch grid{columns, rows, {}};
  constexpr double kOutside = -1e-9;  // rounding of a place in a triangle
  std::vector<double> depth(std::size_t{columns} * rows, kOutside);
  grid.mesh.points.resize(depth.size());
  fill_inside(map, grid, depth);
  for (std::size_t s = 0; s < 4; ++s) {
    const std::vector<std::uint32_t> chain = grid.side(s);
    for (std::size_t k = 0; k < chain.size(); ++k) {
      grid.mesh.points[chain[k]] = on_chain(map.skin.mesh.points, map.skin.sides[s],
                                            static_cast<double>(k) / static_cast<double>(chain.size() - 1));
      depth[chain[k]] = 1.0;
    }
  }
  if (std::any_of(depth.begin(), depth.end(), [](double d) { return d <= kOutside; })) {
    return Problem{Trouble::kGeometry, "part of the surface is missing in the middle", {}, {}, {}};
  }
  split_alike(grid, grid);
  return grid;
}

}  // namespace lastwright
