#include "geometry/fill/strip_family.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <random>

#include "geometry/box2.hpp"

namespace lastwright {

namespace {

LatticeShape family_shape(const Polygon& polygon) {
  ClosedArcPath path;
  for (const Vec2 p : polygon) path.vertices.push_back({p, 0.0});
  const Result<LatticeShape> shape = lattice_shape(path, Millimetres(0.02));
  REQUIRE(shape.ok());
  return *shape;
}

// Seen from its middle in full, about as long as an insole.
Polygon insole_like(std::mt19937& random) {
  const auto in = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(random()) / 4294967295.0;
  };
  Polygon polygon;
  const double width = in(25.0, 60.0);
  constexpr int kCorners = 10;
  for (int k = 0; k < kCorners; ++k) {
    const double angle = 2.0 * std::numbers::pi * (k + in(-0.3, 0.3)) / kCorners;
    const double r = in(0.6, 1.0);
    polygon.push_back({70.0 * r * std::cos(angle), width * r * std::sin(angle)});
  }
  return polygon;
}

Polygon scaled(Polygon polygon, double x, double y) {
  for (Vec2& p : polygon) p = {x * p.x, y * p.y};
  return polygon;
}

}  // namespace

// A piece, the same smaller, smaller and mirrored, and a smaller one with a corner less (all of which lie
// inside of it, or inside of its mirror image) on one sheet and on one roll.
TEST_CASE("what lies inside another shape never takes more of a sheet or a roll", "[lattice]") {
  std::mt19937 random(18);
  int before = 0;  // times that the law did not hold of what was found for each shape by itself
  for (int round = 0; round < 12; ++round) {
    const Polygon piece = insole_like(random);
    Polygon blunt = scaled(piece, 0.997, 0.997);
    for (std::size_t i = 0; i < blunt.size(); ++i) {
      const Vec2 from = blunt[(i + blunt.size() - 1) % blunt.size()];
      const Vec2 to = blunt[(i + 1) % blunt.size()];
      if (cross(to - from, blunt[i] - from) >= 0.0) continue;
      blunt.erase(blunt.begin() + static_cast<std::ptrdiff_t>(i));
      break;
    }
    const Polygon image = scaled(piece, 0.9985, -0.9985);
    std::vector<LatticeShape> shapes;
    for (const Polygon& one : {piece, Polygon(image.rbegin(), image.rend()), scaled(piece, 0.999, 0.999),
                               blunt, scaled(piece, 0.99, 0.99)})
      shapes.push_back(family_shape(one));
    const std::vector<LatticeKind> kinds{LatticeKind::kHalfTurned};
    const StripSize size{700.0 + 20.0 * round, round % 2 == 0 ? 1000.0 : 0.0};
    std::vector<StripShape> family;
    std::vector<StripLay> lays;
    for (const LatticeShape& shape : shapes) {
      family.push_back({&shape, kinds});
      lays.push_back(densest_in_strip(shape, kinds, size));
    }
    for (std::size_t i = 1; i < lays.size(); ++i) before += closer(lays[0], lays[i]) ? 1 : 0;
    share_lays(family, size, lays);
    for (std::size_t i = 0; i < lays.size(); ++i) {
      INFO("round " << round << ", shape " << i << ": " << lays[i].held << " and " << lays[0].held);
      CHECK_FALSE(closer(lays[0], lays[i]));
      if (i > 2) CHECK_FALSE(closer(lays[2], lays[4]));
      const LatticeShape& shape = shapes[i];
      CHECK(shared_area(lays[i].lattice, shape.parts, second_parts(shape.parts, lays[i].kind)) <
            1e-6 * shape.area);
      const double half = 0.5 * bounds(shape.polygon).height();
      for (const StripRow& row : lays[i].rows) CHECK(std::abs(row.y) + half <= 0.5 * size.width + 1e-6);
      if (size.length > 0.0) CHECK(lays[i].held == shapes_in_sheet(lays[i], shape, size.length));
    }
  }
  CHECK(before > 0);
}

}  // namespace lastwright
