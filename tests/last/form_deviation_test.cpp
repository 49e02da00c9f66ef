// Where the form of a scan lies farthest off, told from made deviations on the demo last: measures are not
// asked.
#include "grading/lasts/form_deviation.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "grading/lasts/roles.hpp"
#include "tests/last/standing_last.hpp"

using namespace lastwright;

namespace {

// Points about 1.5 mm apart on the last's triangles, each as far off as `off` says of its place.
template <class Off>
ScanFit made_fit(const Body& body, Off off) {
  ScanFit fit;
  for (const Triangle& t : body.mesh.triangles) {
    const Vec3 a = body.mesh.nodes[t.node[0]].point;
    const Vec3 b = body.mesh.nodes[t.node[1]].point;
    const Vec3 c = body.mesh.nodes[t.node[2]].point;
    const double side = std::max({distance(a, b), distance(b, c), distance(c, a)});
    const int parts = std::max(1, static_cast<int>(std::ceil(side / 1.5)));
    for (int i = 0; i < parts; ++i) {
      for (int j = 0; i + j < parts; ++j) {
        const double u = (i + 1.0 / 3.0) / parts;
        const double v = (j + 1.0 / 3.0) / parts;
        const Vec3 p = a + u * (b - a) + v * (c - a);
        const double noise = (fit.residuals.size() % 2 == 0 ? 0.1 : -0.1);
        fit.residuals.push_back({p, t.face, noise + off(p, t.face), true});
      }
    }
  }
  return fit;
}

double bell(Vec3 p, Vec3 middle) {
  return std::exp(-std::pow(distance(p, middle) / 15.0, 2));
}

}  // namespace

TEST_CASE("the form's farthest places in and out are told with where they are, strays left out",
          "[last][verify]") {
  const StandingLast& last = demo_standing();
  const double length = last.standing.length;
  const auto role = [&](int face) { return last.body.faces[static_cast<std::size_t>(face)].role; };
  // On the upper: a bump to the left of the toe, a dent to the right of the heel.
  Vec3 bump{0, -1e9, 0};
  Vec3 dent{0, 1e9, 0};
  made_fit(last.body, [&](Vec3 p, int face) {
    if (role(face) != FaceRole::kUpper || p.z < 15.0) return 0.0;
    if (std::abs(p.x - 0.88 * length) < 2.0 && p.y > bump.y) bump = p;
    if (std::abs(p.x - 0.25 * length) < 2.0 && p.z > 50.0 && p.y < dent.y) dent = p;
    return 0.0;
  });
  ScanFit fit = made_fit(last.body, [&](Vec3 p, int face) {
    return role(face) == FaceRole::kUpper ? 2.6 * bell(p, bump) - 1.7 * bell(p, dent) : 0.0;
  });
  // Dirt: here and there one point far off, and a few that hang alone in the air before the toe.
  for (std::size_t i = 0; i < fit.residuals.size(); i += 997) fit.residuals[i].off = 9.0;
  for (std::size_t i = 0; i < fit.residuals.size(); i += 10) {
    if (distance(fit.residuals[i].foot, bump) < 8.0) fit.residuals[i].off = 15.0;
  }
  for (int i = 0; i < 5; ++i) fit.residuals.push_back({{length + 60.0, 0.2 * i, 10.0}, 0, 12.0, true});

  const auto form = form_deviation(fit, last.body, length, LastFoot::kRight);
  REQUIRE(form);
  INFO(told_of(*form));
  CHECK(form->most.off == Approx(2.55).margin(0.12));
  CHECK(form->most.along == Approx(bump.x / length).margin(3.0 / length));
  CHECK(form->most.to_inside == Approx(bump.y).margin(3.0));  // a right last has its inside on the left
  CHECK(form->most.high == Approx(bump.z).margin(4.0));
  CHECK(form->most.role == FaceRole::kUpper);
  CHECK(form->least.off == Approx(-1.65).margin(0.12));
  CHECK(form->least.along == Approx(dent.x / length).margin(4.0 / length));
  CHECK(form->least.to_inside < 0.0);
  CHECK(told_of(*form).find("mm to the inside") != std::string::npos);
  const auto of_left = form_deviation(fit, last.body, length, LastFoot::kLeft);
  REQUIRE(of_left);
  CHECK(of_left->most.to_inside == -form->most.to_inside);

  // What lies beyond three tolerances is to be looked at, and no more than that.
  CHECK(form_note(*form, 0.9).empty());
  // A worn joint: on the bottom what lies beyond one tolerance is to be looked at, and noise is not.
  const Vec3 joint = last.body.at(last.landmarks.at("tread inside")).p;
  for (const double deep : {0.0, 0.3, 1.2}) {
    const auto worn = form_deviation(
        made_fit(
            last.body,
            [&](Vec3 p, int face) { return role(face) == FaceRole::kBottom ? -deep * bell(p, joint) : 0.0; }),
        last.body, length, LastFoot::kLeft);
    REQUIRE(worn);
    CHECK(form_note(*worn, 0.5).empty() == (deep < 0.5));
  }
  const std::string one = form_note(*form, 0.7);
  CHECK(one.find("+2.") != std::string::npos);
  CHECK(one.find("-1.") == std::string::npos);
  CHECK(one.find("Look at it") != std::string::npos);
  CHECK(form_note(*form, 0.5).find("-1.") != std::string::npos);
}
