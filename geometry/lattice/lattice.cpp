#include "geometry/lattice/lattice.hpp"

#include <cmath>
#include <utility>

namespace lastwright {

Lattice reduced(Lattice lattice) {
  Vec2& a = lattice.a;
  Vec2& b = lattice.b;
  // Each round makes the longer vector shorter; rounding alone could go on for ever.
  for (int round = 0; round < 1000; ++round) {
    if (square_of(b) < square_of(a)) std::swap(a, b);
    const double steps = std::round(dot(a, b) / square_of(a));
    if (steps == 0.0) break;
    const Vec2 shorter = b - steps * a;
    if (!(square_of(shorter) < square_of(b))) break;
    b = shorter;
  }
  if (cross(a, b) < 0.0) b = -b;
  if (lattice.second) {
    const double area = cross(a, b);
    const double i = std::round(cross(*lattice.second, b) / area);
    const double j = std::round(cross(a, *lattice.second) / area);
    lattice.second = *lattice.second - i * a - j * b;
  }
  return lattice;
}

Lattice reduced_level(Lattice lattice) {
  if (lattice.a.x < 0.0) lattice.a = -lattice.a;
  if (lattice.b.y < 0.0) lattice.b = -lattice.b;
  lattice.b = lattice.b - std::round(lattice.b.x / lattice.a.x) * lattice.a;
  if (lattice.second) {
    Vec2& w = *lattice.second;
    w = w - std::round(w.y / lattice.b.y) * lattice.b;
    w = w - std::round(w.x / lattice.a.x) * lattice.a;
  }
  return lattice;
}

std::vector<LatticeStep> steps_within(const Lattice& lattice, Vec2 from, Vec2 about, double reach) {
  std::vector<LatticeStep> steps;
  const double area = cross(lattice.a, lattice.b);
  const Vec2 middle = about - from;
  const double i0 = cross(middle, lattice.b) / area;
  const double j0 = cross(lattice.a, middle) / area;
  // The lines of the lattice along b lie area / |b| apart, those along a area / |a|.
  const double wide = reach * norm(lattice.b) / std::abs(area);
  const double high = reach * norm(lattice.a) / std::abs(area);
  for (int i = static_cast<int>(std::ceil(i0 - wide)); i <= static_cast<int>(std::floor(i0 + wide)); ++i) {
    for (int j = static_cast<int>(std::ceil(j0 - high)); j <= static_cast<int>(std::floor(j0 + high)); ++j) {
      const Vec2 at = from + i * lattice.a + j * lattice.b;
      if (square_of(at - about) <= reach * reach) steps.push_back({i, j});
    }
  }
  return steps;
}

}  // namespace lastwright
