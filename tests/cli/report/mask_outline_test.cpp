#include "cli/report/mask_outline.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

using namespace lastwright;

// A ring of triangles between two circles: the outer line goes round counter-clockwise, the inner clockwise.
TEST_CASE("the outline of what triangles cover follows its edge", "[mask_outline]") {
  constexpr int kSides = 180;
  constexpr double kOuter = 30.0;
  constexpr double kInner = 12.0;
  constexpr double kCell = 0.5;
  const Vec2 middle{3.3, -7.1};
  const auto at = [&](double radius, int n) {
    const double angle = 2.0 * std::numbers::pi * n / kSides;
    return middle + radius * Vec2{std::cos(angle), std::sin(angle)};
  };
  std::vector<std::array<Vec2, 3>> triangles;
  for (int n = 0; n < kSides; ++n) {
    triangles.push_back({at(kOuter, n), at(kOuter, n + 1), at(kInner, n)});
    triangles.push_back({at(kInner, n), at(kInner, n + 1), at(kOuter, n + 1)});  // either way round
  }
  const std::vector<std::vector<Vec2>> lines = mask_outline(triangles, kCell);
  REQUIRE(lines.size() == 2);
  double area = 0.0;
  for (const std::vector<Vec2>& line : lines) {
    double own = 0.0;
    for (std::size_t i = 0; i < line.size(); ++i) {
      const Vec2 next = line[(i + 1) % line.size()];
      own += 0.5 * cross(line[i] - middle, next - middle);
      CHECK(distance(line[i], next) < 2.0 * kCell);  // no stretch is missing
    }
    const double radius = own > 0.0 ? kOuter : kInner;
    for (const Vec2 p : line) CHECK(std::abs(distance(p, middle) - radius) < 0.6 * kCell);
    area += own;
  }
  CHECK(area == Approx(std::numbers::pi * (kOuter * kOuter - kInner * kInner)).epsilon(0.01));
  CHECK(mask_outline({}, kCell).empty());
}
