#include "geometry/solid/tape.hpp"

#include <algorithm>
#include <cstdint>
#include <numeric>

#include "geometry/check/convex_region.hpp"
#include "geometry/vec2.hpp"

namespace lastwright {

std::vector<std::size_t> convex_hull(const std::vector<Vec3>& points, const Plane3& plane) {
  std::vector<Vec2> flat;
  flat.reserve(points.size());
  for (const Vec3& p : points) flat.push_back({dot(plane.e1, p), dot(plane.e2, p)});
  // Whose a corner is: of several in one place the first.
  std::vector<std::size_t> order(points.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  const auto before = [](Vec2 a, Vec2 b) { return a.x < b.x || (a.x == b.x && a.y < b.y); };
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return before(flat[a], flat[b]); });
  std::vector<std::size_t> loop;
  for (const Vec2 corner : convex_hull(flat)) {
    loop.push_back(*std::lower_bound(order.begin(), order.end(), corner,
                                     [&](std::size_t a, Vec2 b) { return before(flat[a], b); }));
  }
  return loop;
}

double perimeter(const std::vector<Vec3>& points, const std::vector<std::size_t>& loop) {
  double sum = 0.0;
  for (std::size_t i = 0; i < loop.size(); ++i)
    sum += distance(points[loop[i]], points[loop[(i + 1) % loop.size()]]);
  return sum;
}

Tape tape_of(const Section& section) {
  Tape tape;
  std::vector<Vec3> points;
  points.reserve(section.points.size());
  for (const SectionPoint& p : section.points) points.push_back(p.p);
  tape.hull = convex_hull(points, section.plane);
  tape.length = perimeter(points, tape.hull);

  constexpr std::size_t kOff = SIZE_MAX;
  std::vector<std::size_t> rank(points.size(), kOff);
  for (std::size_t i = 0; i < tape.hull.size(); ++i) rank[tape.hull[i]] = i;
  const std::size_t n = tape.hull.size();
  const auto follow = [&](std::size_t a, std::size_t b) { return (rank[a] + 1) % n == rank[b]; };
  for (const SectionStretch& s : section.stretches) {
    const double length = stretch_length(section, s);
    tape.skin += length;
    const auto [a, m, b] = s.point;
    if (a == m || rank[a] == kOff || rank[m] == kOff || rank[b] == kOff) continue;
    if ((follow(a, m) && follow(m, b)) || (follow(b, m) && follow(m, a))) {
      tape.length += length - distance(points[a], points[m]) - distance(points[m], points[b]);
    }
  }
  return tape;
}

double skin_on(const Section& section, const Body& body, int role) {
  double sum = 0.0;
  for (const SectionStretch& s : section.stretches) {
    if (body.faces[static_cast<std::size_t>(s.face)].role == role) sum += stretch_length(section, s);
  }
  return sum;
}

std::vector<TapeCorner> tape_gradient(const Section& section, const Tape& tape) {
  std::vector<TapeCorner> corners;
  const std::size_t n = tape.hull.size();
  const Vec3& normal = section.plane.normal;
  for (std::size_t i = 0; i < n; ++i) {
    const SectionPoint& before = section.points[tape.hull[(i + n - 1) % n]];
    const SectionPoint& here = section.points[tape.hull[i]];
    const SectionPoint& after = section.points[tape.hull[(i + 1) % n]];
    TapeCorner corner;
    corner.point = tape.hull[i];
    corner.pull = unit(here.p - before.p) - unit(after.p - here.p);
    const double across = dot(normal, here.slide);
    corner.slack = std::abs(across) > 1e-6 ? dot(corner.pull, here.slide) / across : 0.0;
    corners.push_back(corner);
  }
  return corners;
}

}  // namespace lastwright
