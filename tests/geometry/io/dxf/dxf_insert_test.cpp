#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/io/dxf/dxf_read.hpp"
#include "geometry/io/paper/plane_affine.hpp"
#include "tests/support/dxf_checks.hpp"
#include "tests/support/dxf_maker.hpp"

using namespace lastwright;
using namespace lastwright::test;
using Catch::Detail::Approx;
using Catch::Matchers::Contains;

namespace {

// An arc from (1,0) to (0,1) about the origin, and a line on layer "own".
const std::string kContent = tags("0 ARC|8 0|10 0|20 0|40 1|50 0|51 90|0 LINE|8 own|10 0|20 0|11 1|21 0");

}  // namespace

TEST_CASE("a block is put at its place about its base point, layer 0 takes the layer of the INSERT",
          "[dxf][insert]") {
  const Drawing d = read(drawing(tags("0 INSERT|8 vamp|2 piece|10 100|20 50|41 2|42 2|50 90"),
                                 block("PIECE", kContent, "10 1|20 0")));
  REQUIRE(d.paths.size() == 2);
  check_point(start_of(d.paths[0].curves[0]), {100, 50});  // the arc starts at the base point
  check_point(end_of(d.paths[0].curves[0]), {98, 48});
  CHECK(d.paths[0].from.layer == "vamp");
  CHECK(d.paths[1].from.layer == "own");
  CHECK(d.paths[0].from.block == "PIECE");
  CHECK(d.paths[0].from.insert == 1);
}

TEST_CASE("mirroring turns arcs over; uneven scales make exact ellipses", "[dxf][insert]") {
  const Drawing mirrored = read(drawing(tags("0 INSERT|2 P|10 0|20 0|41 -1"), block("P", kContent)));
  check_point(start_of(mirrored.paths[0].curves[0]), {-1, 0});
  CHECK(std::get<Arc>(mirrored.paths[0].curves[0]).bulge < 0.0);
  const Drawing down =
      read(drawing(tags("0 INSERT|2 P|10 5|20 0|50 90|230 -1|210 0|220 0"), block("P", kContent)));
  check_point(start_of(down.paths[0].curves[0]),
              {-5, 1});  // rotated in its own system, then seen from the other side
  check_point(end_of(down.paths[0].curves[0]), {-4, 0});
  const Drawing uneven = read(drawing(
      tags("0 INSERT|2 P|10 0|20 0|41 3|42 2|50 30"),
      block("P",
            kContent +
                tags("0 CIRCLE|8 0|10 0|20 0|40 1|0 LWPOLYLINE|90 2|70 1|10 1|20 0|42 1|10 -1|20 0|42 1"))));
  REQUIRE(uneven.paths.size() == 4);
  CHECK(uneven.circles.empty());
  for (std::size_t i : {0u, 2u, 3u}) {
    for (const Curve& curve : uneven.paths[i].curves) {
      REQUIRE(std::holds_alternative<Spline>(curve));
      for (double t : {0.0, 0.2, 0.5, 0.77, 1.0}) {
        const Vec2 p = point_at(curve, t);
        const Vec2 axis = direction_of_degrees(30.0);
        const double x = dot(p, axis) / 3.0;
        const double y = cross(axis, p) / 2.0;
        CHECK(x * x + y * y == Approx(1.0).epsilon(1e-13));
      }
    }
    if (i >= 2) CHECK(uneven.paths[i].closed);
  }
  CHECK(end_of(uneven.paths[3].curves[0]) == start_of(uneven.paths[3].curves[1]));
}

TEST_CASE("inserts nest, layers and the outermost block carry through", "[dxf][insert]") {
  const std::string inner = block("hole", tags("0 CIRCLE|8 0|10 1|20 0|40 0.5"));
  const std::string outer = block("vamp", tags("0 INSERT|8 0|2 HOLE|10 10|20 0|41 2|42 2"));
  const Drawing d = read(drawing(
      tags("0 INSERT|8 cut|2 vamp|10 0|20 100|50 90|0 INSERT|8 cut|2 vamp|10 0|20 0"), inner + outer));
  REQUIRE(d.circles.size() == 2);
  check_point(d.circles[0].centre, {0, 112});
  CHECK(d.circles[0].radius == Approx(1.0));
  CHECK(d.circles[0].from.layer == "cut");
  CHECK(d.circles[0].from.block == "vamp");
  CHECK(d.circles[1].from.insert == 2);
}

TEST_CASE("arrays repeat in the turned frame", "[dxf][insert]") {
  const Drawing d = read(drawing(tags("0 INSERT|2 P|10 0|20 0|70 3|71 2|44 10|45 20|50 90|41 2|42 2"),
                                 block("P", tags("0 POINT|10 0|20 0"))));
  REQUIRE(d.points.size() == 6);
  check_point(d.points[1].at, {0, 10});
  check_point(d.points[3].at, {-20, 0});
}

TEST_CASE("attributes of an insert are texts of their own", "[dxf][insert]") {
  const Drawing d = read(drawing(
      tags("0 INSERT|2 P|10 9|20 9|66 1|0 ATTRIB|10 1|20 2|40 3|1 size 8|2 SIZE|0 SEQEND|0 POINT|10 0|20 0"),
      block("P", tags("0 POINT|10 0|20 0"))));
  REQUIRE(d.texts.size() == 1);
  CHECK(d.texts[0].text == "size 8");
  CHECK(d.points.size() == 2);
}

TEST_CASE("missing, external and unused blocks are listed, never forgotten", "[dxf][insert]") {
  const std::string external = tags("0 BLOCK|2 ext|70 4|10 0|20 0|1 other.dwg|0 ENDBLK");
  const Drawing d = read(drawing(tags("0 INSERT|2 gone|10 0|20 0|0 INSERT|2 ext|10 0|20 0"),
                                 external + block("never", kContent) + block("*U1", kContent)));
  REQUIRE(d.left_out.size() == 3);
  CHECK_THAT(d.left_out[0].reason, Contains("not in the file"));
  CHECK_THAT(d.left_out[1].reason, Contains("another file"));
  CHECK_THAT(d.left_out[2].reason, Contains("nothing inserts"));
}

TEST_CASE("blocks that contain themselves, nest too deep or multiply without end are refused",
          "[dxf][insert]") {
  CHECK_THAT(
      dxf_refusal(drawing(tags("0 INSERT|2 a|10 0|20 0"), block("a", tags("0 INSERT|2 B|10 0|20 0")) +
                                                              block("b", tags("0 INSERT|2 A|10 0|20 0")))),
      Contains("contains itself"));
  std::string chain = block("b0", tags("0 POINT|10 0|20 0"));
  for (int i = 1; i <= 20; ++i) {
    chain += block("b" + std::to_string(i), tags("0 INSERT|2 b" + std::to_string(i - 1) + "|10 0|20 0"));
  }
  CHECK_THAT(dxf_refusal(drawing(tags("0 INSERT|2 b20|10 0|20 0"), chain)), Contains("nested more than 16"));
  CHECK(read(drawing(tags("0 INSERT|2 b14|10 0|20 0"), chain)).points.size() == 1);
  // A small file that would expand to 10^15 empty inserts.
  std::string bomb = block("b0", "");
  for (int i = 1; i <= 15; ++i) {
    std::string ten;
    for (int k = 0; k < 10; ++k) ten += tags("0 INSERT|2 b" + std::to_string(i - 1) + "|10 0|20 0");
    bomb += block("b" + std::to_string(i), ten);
  }
  CHECK_THAT(dxf_refusal(drawing(tags("0 INSERT|2 b15|10 0|20 0"), bomb)), Contains("expands to more than"));
  const std::string one = block("P", tags("0 POINT|10 0|20 0"));
  CHECK_THAT(dxf_refusal(drawing(tags("0 INSERT|2 P|10 0|20 0|70 2000000000|71 2000000000|44 1|45 1"), one)),
             Contains("array"));
  CHECK_THAT(dxf_refusal(drawing(tags("0 INSERT|2 P|10 0|20 0|70 -3|44 1"), one)), Contains("array"));
  CHECK_THAT(dxf_refusal(drawing(tags("0 INSERT|2 P|10 0|20 0|41 0"), one)), Contains("scale"));
  CHECK_THAT(dxf_refusal(drawing(tags("0 INSERT|2 P|10 0|20 0|41 1e300"), one)), Contains("scales"));
}
