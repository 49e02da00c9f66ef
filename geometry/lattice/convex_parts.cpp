#include "geometry/lattice/convex_parts.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>
#include <utility>

namespace lastwright {

namespace {

using Indices = std::vector<std::uint32_t>;

double turn_at(const Polygon& p, std::uint32_t a, std::uint32_t b, std::uint32_t c) {
  return cross(p[b] - p[a], p[c] - p[b]);
}

bool holds(const Polygon& p, std::uint32_t a, std::uint32_t b, std::uint32_t c, std::uint32_t q) {
  return cross(p[b] - p[a], p[q] - p[a]) >= 0.0 && cross(p[c] - p[b], p[q] - p[b]) >= 0.0 &&
         cross(p[a] - p[c], p[q] - p[c]) >= 0.0;
}

// Cuts off ears, the bluntest sliver last: the ear with the greatest least angle first keeps parts compact.
std::vector<Indices> triangles_of(const Polygon& p) {
  Indices ring(p.size());
  for (std::uint32_t i = 0; i < ring.size(); ++i) ring[i] = i;
  std::vector<Indices> triangles;
  std::size_t at = 0;
  std::size_t refused = 0;
  while (ring.size() > 3) {
    const std::size_t n = ring.size();
    const std::uint32_t a = ring[(at + n - 1) % n];
    const std::uint32_t b = ring[at % n];
    const std::uint32_t c = ring[(at + 1) % n];
    const double turn = turn_at(p, a, b, c);
    bool ear = turn > 0.0;
    for (std::size_t k = 2; ear && k + 1 < n; ++k) {
      const std::uint32_t q = ring[(at + k) % n];
      if (p[q] == p[a] || p[q] == p[b] || p[q] == p[c]) continue;
      ear = !holds(p, a, b, c, q);
    }
    if (ear || refused > n) {
      if (turn > 0.0) triangles.push_back({a, b, c});
      ring.erase(ring.begin() + static_cast<std::ptrdiff_t>(at % n));
      at = (at % n == n - 1) ? 0 : at % n;
      refused = 0;
      continue;
    }
    at = (at + 1) % n;
    ++refused;
  }
  if (turn_at(p, ring[0], ring[1], ring[2]) > 0.0) triangles.push_back(ring);
  return triangles;
}

// The two parts joined over the side from a to b of the first and b to a of the other.
Indices joined(const Indices& one, std::size_t side, const Indices& other, std::size_t back) {
  Indices all;
  for (std::size_t k = 0; k < one.size(); ++k) all.push_back(one[(side + 1 + k) % one.size()]);
  for (std::size_t k = 2; k < other.size(); ++k) all.push_back(other[(back + k) % other.size()]);
  return all;
}

bool convex(const Polygon& p, const Indices& part) {
  const std::size_t n = part.size();
  for (std::size_t i = 0; i < n; ++i) {
    if (turn_at(p, part[i], part[(i + 1) % n], part[(i + 2) % n]) < 0.0) return false;
  }
  return true;
}

void join_where_convex(const Polygon& p, std::vector<Indices>& parts) {
  // The side from a to b belongs to one part only.
  std::map<std::pair<std::uint32_t, std::uint32_t>, std::size_t> owner;
  const auto own = [&](std::size_t part) {
    const Indices& ring = parts[part];
    for (std::size_t i = 0; i < ring.size(); ++i) owner[{ring[i], ring[(i + 1) % ring.size()]}] = part;
  };
  for (std::size_t k = 0; k < parts.size(); ++k) own(k);
  std::vector<std::pair<double, std::pair<std::uint32_t, std::uint32_t>>> sides;
  for (const auto& [side, part] : owner) {
    if (side.first < side.second && owner.count({side.second, side.first}) > 0)
      sides.push_back({-distance(p[side.first], p[side.second]), side});
  }
  std::sort(sides.begin(), sides.end());  // long cuts mended first
  for (const auto& [length, side] : sides) {
    const std::size_t one = owner[side];
    const std::size_t other = owner[{side.second, side.first}];
    if (one == other) continue;
    const auto at = [&](std::size_t part, std::uint32_t from) {
      return static_cast<std::size_t>(std::find(parts[part].begin(), parts[part].end(), from) -
                                      parts[part].begin());
    };
    const Indices all = joined(parts[one], at(one, side.first), parts[other], at(other, side.second));
    if (!convex(p, all)) continue;
    parts[one] = all;
    parts[other].clear();
    own(one);
  }
  parts.erase(std::remove_if(parts.begin(), parts.end(), [](const Indices& part) { return part.empty(); }),
              parts.end());
}

std::size_t lowest(const Polygon& polygon) {
  std::size_t best = 0;
  for (std::size_t i = 1; i < polygon.size(); ++i) {
    const Vec2 p = polygon[i];
    const Vec2 q = polygon[best];
    if (p.y < q.y || (p.y == q.y && p.x < q.x)) best = i;
  }
  return best;
}

}  // namespace

bool is_convex(const Polygon& polygon) {
  const std::size_t n = polygon.size();
  double least = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    const Vec2 in = unit(polygon[(i + 1) % n] - polygon[i]);
    const Vec2 out = unit(polygon[(i + 2) % n] - polygon[(i + 1) % n]);
    least = std::min(least, cross(in, out));
  }
  return least >= -1e-12;
}

Result<std::vector<Polygon>> convex_parts(const Polygon& polygon) {
  std::vector<Polygon> parts;
  const double area = signed_area(polygon);
  if (is_convex(polygon)) {
    parts.push_back(polygon);
    return parts;
  }
  std::vector<Indices> rings = triangles_of(polygon);
  join_where_convex(polygon, rings);
  double sum = 0.0;
  for (const Indices& ring : rings) {
    Polygon part;
    for (const std::uint32_t i : ring) part.push_back(polygon[i]);
    sum += signed_area(part);
    parts.push_back(std::move(part));
  }
  if (std::abs(sum - area) > 1e-9 * area) {
    return Problem{Trouble::kGeometry, "the outline cannot be taken apart into convex parts", {}, sum, area};
  }
  return parts;
}

Polygon convex_sum(const Polygon& one, const Polygon& other) {
  const std::size_t n = one.size();
  const std::size_t m = other.size();
  const std::size_t start_one = lowest(one);
  const std::size_t start_other = lowest(other);
  Polygon sum;
  Vec2 at = one[start_one] + other[start_other];
  std::size_t i = 0;
  std::size_t k = 0;
  while (i < n || k < m) {
    sum.push_back(at);
    const Vec2 e = one[(start_one + i + 1) % n] - one[(start_one + i) % n];
    const Vec2 f = other[(start_other + k + 1) % m] - other[(start_other + k) % m];
    const double turn = i == n ? -1.0 : k == m ? 1.0 : cross(e, f);
    const double level = 1e-13 * norm(e) * norm(f);
    if (turn >= -level || k == m) {
      if (i < n) at += e;
    }
    const bool both = std::abs(turn) <= level && i < n && k < m;
    if (turn < -level || i == n || both) {
      if (k < m) at += f;
      ++k;
      if (both) ++i;
    } else {
      ++i;
    }
  }
  return sum;
}

Polygon half_turned(const Polygon& polygon) {
  Polygon turned;
  turned.reserve(polygon.size());
  for (const Vec2 p : polygon) turned.push_back(-p);
  return turned;
}

Polygon mirrored(const Polygon& polygon) {
  Polygon image;
  image.reserve(polygon.size());
  for (auto p = polygon.rbegin(); p != polygon.rend(); ++p) image.push_back({-p->x, p->y});
  return image;
}

}  // namespace lastwright
