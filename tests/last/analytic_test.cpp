// Girths of solids whose sections have formulas: circle, ellipse, slanted cuts
// of cylinder and cone. The solids are made by the kernel's own constructors,
// so they arrive as rational, periodic faces with seams and poles.
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/solid/kernel/made_forms.hpp"
#include "geometry/solid/tape.hpp"

using namespace lastwright;
using Catch::Detail::Approx;

namespace {

// Perimeter of an ellipse by the complete elliptic integral of the second kind (standard library).
double ellipse(double a, double b) {
  if (a < b) std::swap(a, b);
  return 4.0 * a * std::comp_ellint_2(std::sqrt(1.0 - b * b / (a * a)));
}

Tape cut(const KernelShape& shape, const Plane3& plane, double deflection) {
  const Result<Body> body = to_body(shape, deflection);
  INFO((body.ok() ? std::string() : to_text(body.problem())));
  REQUIRE(body.ok());
  const Form form = make_form(*body);
  return tape_of(cut_section(form, plane));
}

}  // namespace

TEST_CASE("a cylinder cut square and at a slant has the girth of a circle and of an ellipse",
          "[last][girth]") {
  const KernelShape cylinder = kernel_cylinder(40.0, 200.0);
  for (double degrees : {0.0, 5.0, 20.0, 40.0}) {
    const double a = degrees * std::numbers::pi / 180.0;
    const Plane3 plane = plane_through({1.3, -2.1, 100.0}, {std::sin(a), 0.0, std::cos(a)});
    for (double deflection : {2.0, 0.2}) {
      INFO(degrees << " degrees, mesh " << deflection);
      const Tape girth = cut(cylinder, plane, deflection);
      CHECK(std::abs(girth.length - ellipse(40.0 / std::cos(a), 40.0)) < 1e-3);
      CHECK(std::abs(girth.skin - girth.length) < 1e-6);
    }
  }
}

TEST_CASE("a cone cut at a slant has the girth of its ellipse", "[last][girth]") {
  // Half angle t: radius 60 at z = 0 falls to 20 at 200. A
  // plane tilted by b through (0, 0, h) cuts an ellipse.
  const KernelShape cone = kernel_cone(60.0, 20.0, 200.0);
  const double k = 40.0 / 200.0;  // radius lost per height
  const double b = 0.3;
  const double h = 90.0;
  // Along the tilt: x = s cos b, z = h + s sin b, |x| = 60 - k z gives the two ends of the long axis.
  const double reach = 60.0 - k * h;
  const double s1 = reach / (std::cos(b) + k * std::sin(b));
  const double s2 = reach / (std::cos(b) - k * std::sin(b));
  const double half = 0.5 * (s1 + s2);
  const double middle = 0.5 * (s1 - s2);
  const double zm = h + middle * std::sin(b);
  const double xm = middle * std::cos(b);
  const double other = std::sqrt(std::pow(60.0 - k * zm, 2) - xm * xm);
  const Tape girth = cut(cone, plane_through({0, 0, h}, {-std::sin(b), 0.0, std::cos(b)}), 1.0);
  CHECK(std::abs(girth.length - ellipse(half, other)) < 1e-3);
}

TEST_CASE("an ellipsoid's sections through its centre are ellipses, whatever the mesh", "[last][girth]") {
  const KernelShape ellipsoid = kernel_ellipsoid(140.0, 45.0, 35.0);
  for (double deflection : {3.0, 0.5}) {
    CHECK(std::abs(cut(ellipsoid, plane_through({0, 0, 0}, {1, 0, 0}), deflection).length - ellipse(45, 35)) <
          1e-3);
    CHECK(std::abs(cut(ellipsoid, plane_through({70, 0, 0}, {1, 0, 0}), deflection).length -
                   std::sqrt(0.75) * ellipse(45, 35)) < 1e-3);
    // Turned about y: semi axes 45 and the radius of the x-z ellipse in that direction.
    const double a = 0.7;
    const double r = 1.0 / std::sqrt(std::pow(std::cos(a) / 140.0, 2) + std::pow(std::sin(a) / 35.0, 2));
    CHECK(
        std::abs(cut(ellipsoid, plane_through({0, 0, 0}, {-std::sin(a), 0, std::cos(a)}), deflection).length -
                 ellipse(45, r)) < 1e-3);
  }
}

TEST_CASE("a hole and a slot leave the tape alone and lengthen the skin", "[last][girth]") {
  const KernelShape whole = kernel_cylinder(40.0, 200.0);
  const Result<KernelShape> holed = kernel_with_hole(whole, 0.0, 100.0, 5.0);
  REQUIRE(holed.ok());
  const Plane3 plane = plane_through({0, 0, 100.0}, {0, 0, 1});
  const Tape before = cut(whole, plane, 0.5);
  const Tape after = cut(*holed, plane, 0.5);
  // Two mouths 10 mm wide: chords instead of arcs there.
  const double lost = 2.0 * (2.0 * 40.0 * std::asin(5.0 / 40.0) - 10.0);
  CHECK(after.length == Approx(before.length - lost).margin(1e-3));
  CHECK(after.skin > before.skin + 100.0);  // the walls of the hole
}
