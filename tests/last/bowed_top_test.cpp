// A top that is a little bowed is a top; a last that has none is told which face comes nearest.
#include <algorithm>
#include <catch2/catch.hpp>

#include "grading/lasts/formes/upper_skin.hpp"
#include "grading/lasts/roles.hpp"
#include "tests/last/standing_last.hpp"

using namespace lastwright;

namespace {

// The demo last with so much of a hollow along its top, mm, and nothing else changed.
StandingLast with_hollow(double hollow) {
  StandingLast last = demo_standing();
  const auto top = std::find_if(last.body.faces.begin(), last.body.faces.end(),
                                [](const BodyFace& f) { return f.role == FaceRole::kTop; });
  REQUIRE(top != last.body.faces.end());
  const auto face = static_cast<int>(top - last.body.faces.begin());
  double low = 1e9;
  double high = -1e9;
  for (const MeshNode& n : last.body.mesh.nodes) {
    if (n.face != face) continue;
    low = std::min(low, n.point.x);
    high = std::max(high, n.point.x);
  }
  // Every corner above the lowest part of the last, so that the walls go with the rim.
  for (MeshNode& n : last.body.mesh.nodes) {
    if (n.point.z < 60.0) continue;
    const double t = std::clamp((n.point.x - low) / (high - low), 0.0, 1.0);
    n.point.z -= 4.0 * hollow * t * (1.0 - t);
  }
  find_roles(last.body);
  return last;
}

bool has_top_face(const Body& body) {
  return std::any_of(body.faces.begin(), body.faces.end(),
                     [](const BodyFace& f) { return f.role == FaceRole::kTop; });
}

}  // namespace

TEST_CASE("a top that is bowed by a few degrees is a top, and the upper has its two rims", "[last][formes]") {
  for (const double hollow : {0.0, 1.0, 2.0, 3.0, -3.0}) {
    INFO("hollow " << hollow);
    const StandingLast last = with_hollow(hollow);
    REQUIRE(has_top_face(last.body));
    const Result<UpperSkin> skin = upper_skin(last.body);
    INFO((skin.ok() ? "" : to_text(skin.problem())));
    REQUIRE(skin.ok());
    CHECK(skin->top.size() > 10);
  }
  CHECK_FALSE(has_top_face(with_hollow(25.0).body));
}

TEST_CASE("an upper without a top is refused with the face that comes nearest, by number and place",
          "[last][formes]") {
  StandingLast last = demo_standing();
  std::size_t top = 0;
  while (last.body.faces[top].role != FaceRole::kTop) ++top;
  last.body.faces[top].role = FaceRole::kUpper;
  const Result<UpperSkin> skin = upper_skin(last.body);
  REQUIRE_FALSE(skin.ok());
  const std::string said = skin.problem().message;
  INFO(said);
  CHECK(said.find("none of its faces is plane, level and high enough to be its top: number " +
                  std::to_string(top) + ", about (") != std::string::npos);
  CHECK(said.find("(rims of the upper)") != std::string::npos);
}

TEST_CASE("an upper that does not hang together is told where, on which face, and what is counted",
          "[last][formes]") {
  StandingLast last = demo_standing();
  const auto upper =
      std::find_if(last.body.mesh.triangles.begin(), last.body.mesh.triangles.end(), [&](const Triangle& t) {
        return last.body.faces[static_cast<std::size_t>(t.face)].role == FaceRole::kUpper;
      });
  REQUIRE(upper != last.body.mesh.triangles.end());
  const int face = upper->face;
  last.body.mesh.triangles.push_back(Triangle(*upper));
  const Result<UpperSkin> skin = upper_skin(last.body);
  REQUIRE_FALSE(skin.ok());
  const std::string said = skin.problem().message;
  INFO(said);
  CHECK(said.find("overlap or look opposite ways along 3 of the sides") != std::string::npos);
  CHECK(said.find("on face " + std::to_string(face)) != std::string::npos);
}
