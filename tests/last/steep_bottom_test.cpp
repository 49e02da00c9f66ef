// A mesh of a high heel has the featherline of its solid, however steep the shank is and however it is stood.
#include <catch2/catch.hpp>
#include <cmath>

#include "geometry/solid/mesh_body.hpp"
#include "geometry/solid/stl.hpp"
#include "grading/lasts/base_last.hpp"
#include "tests/last/standing_last.hpp"

using namespace lastwright;

TEST_CASE("the featherline of a mesh does not depend on the slope of its bottom", "[last][mesh][stand]") {
  DemoLast demo;
  demo.heel_height = 100.0;  // the shank falls by 52 degrees
  demo.toe_spring = 6.0;
  demo.fit = 0.02;
  const Result<std::string> step = write_step(make_demo_last(demo), {"high", ""});
  REQUIRE(step.ok());
  const PlainMesh mesh = plain_mesh(read_again(*step, 0.1));
  const auto of = [](Body body, const LastPoseChoice& pose) {
    Result<BaseLast> last = make_measured_last(std::move(body), pose, {});
    INFO((last.ok() ? "" : to_text(last.problem())));
    REQUIRE(last.ok());
    return std::move(*last);
  };
  const BaseLast solid = of(read_again(*step, kMeasuringMesh), {{}, "x,z"});
  // Stated to stand as drawn, and with its heel 15 mm higher: the shank is steeper by 5 degrees then.
  for (const double raised : {0.0, 15.0}) {
    INFO("raised by " << raised);
    LastPoseChoice pose{{}, "x,z"};
    std::size_t heel = 0;
    while (solid.definitions[heel].measure != "heel height") ++heel;
    if (raised > 0.0) pose = {solid.values[heel].value + raised, ""};
    const BaseLast exact = raised > 0.0 ? of(read_again(*step, kMeasuringMesh), pose) : solid;
    Result<Body> facets = mesh_body(mesh);
    REQUIRE(facets.ok());
    const BaseLast flat = of(std::move(*facets), pose);
    for (std::size_t i = 0; i < exact.values.size(); ++i) {
      INFO(exact.definitions[i].measure);
      CHECK(flat.values[i].value == Approx(exact.values[i].value).margin(0.6));
    }
  }
}

TEST_CASE("a featherline that misses a station is told with where it goes and what helps",
          "[last][mesh][landmarks]") {
  StandingLast last = demo_standing();
  const Result<Landmarks> refused = propose_landmarks(last.body, last.standing, {.inside_tread = 1.2});
  REQUIRE_FALSE(refused.ok());
  const std::string said = refused.problem().message;
  INFO(said);
  CHECK(said.find("'tread inside' was not found: its station lies 335 mm from the heel") !=
        std::string::npos);
  CHECK(said.find("goes from ") != std::string::npos);
  CHECK(said.find("--bottom") != std::string::npos);
}
