// Splines whose ends are not clamped, against the recursive
// definition of the basis functions (Cox and de Boor).
#include <catch2/catch.hpp>

#include "geometry/curve/curve.hpp"

using namespace lastwright;

namespace {

double clamped_basis(const std::vector<double>& knots, std::size_t i, std::size_t degree, double t) {
  if (degree == 0) return knots[i] <= t && t < knots[i + 1] ? 1.0 : 0.0;
  const auto part = [&](double above, double below) { return below == 0.0 ? 0.0 : above / below; };
  return part(t - knots[i], knots[i + degree] - knots[i]) * clamped_basis(knots, i, degree - 1, t) +
         part(knots[i + degree + 1] - t, knots[i + degree + 1] - knots[i + 1]) *
             clamped_basis(knots, i + 1, degree - 1, t);
}

}  // namespace

TEST_CASE("loose ends are clamped without moving the curve, also where an end knot stands twice",
          "[spline]") {
  const std::vector<Vec2> poles{{0, 0}, {4, 1}, {7, -3}, {2, 5}, {9, 9}};
  const std::vector<std::vector<double>> cases{{-3, -2, -1, 1, 2, 4, 4, 6, 6},
                                               {0, 1, 2, 3, 4, 5, 6, 7, 8},
                                               {1, 1, 1, 2, 3, 4, 4, 4, 5},
                                               {0, 0, 2, 2, 3, 4, 4, 5, 5},
                                               {0, 1, 1, 1, 3, 4, 5, 5, 5}};
  for (const std::vector<double>& knots : cases) {
    const Result<Spline> spline = make_spline(3, knots, poles);
    REQUIRE(spline.ok());
    for (double share : {0.0, 0.1, 0.35, 0.5, 0.8, 0.999999}) {
      const double t = knots[3] + share * (knots[5] - knots[3]);
      Vec2 wanted;
      for (std::size_t i = 0; i < poles.size(); ++i) wanted += clamped_basis(knots, i, 3, t) * poles[i];
      const Vec2 found = point_at(Curve(*spline), share);
      CHECK(distance(found, wanted) < 1e-12);
    }
  }
}
