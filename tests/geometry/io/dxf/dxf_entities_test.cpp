#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/io/dxf/dxf_read.hpp"
#include "tests/support/dxf_checks.hpp"
#include "tests/support/dxf_maker.hpp"

using namespace lastwright;
using namespace lastwright::test;
using Catch::Detail::Approx;

using Catch::Matchers::Contains;

TEST_CASE("a line carries its layer, handle and line number", "[dxf]") {
  const Drawing d = read(drawing(tags("0 LINE|5 2A|8 cut|10 1|20 2|11 4|21 6")));
  REQUIRE(d.paths.size() == 1);
  CHECK(length(d.paths[0].curves[0]) == 5.0);
  CHECK(d.paths[0].from.layer == "cut");
  CHECK(d.paths[0].from.handle == "2A");
  CHECK(d.paths[0].from.entity == "LINE");
  CHECK(d.paths[0].from.line == 19);
  CHECK_FALSE(d.paths[0].closed);
}

TEST_CASE("arcs run counter-clockwise from start to end angle, long ones as two", "[dxf]") {
  const Drawing d = read(drawing(tags(
      "0 ARC|10 1|20 1|40 2|50 0|51 90|0 ARC|10 0|20 0|40 1|50 90|51 0|0 ARC|10 0|20 0|40 1|50 0|51 360")));
  REQUIRE(d.paths.size() == 3);
  REQUIRE(d.paths[0].curves.size() == 1);
  check_point(start_of(d.paths[0].curves[0]), {3, 1});
  check_point(end_of(d.paths[0].curves[0]), {1, 3});
  CHECK(length(d.paths[0].curves[0]) == Approx(std::numbers::pi));
  REQUIRE(d.paths[1].curves.size() == 2);
  check_point(point_at(d.paths[1].curves[0], 1.0), {-std::sqrt(0.5), -std::sqrt(0.5)});
  CHECK(d.paths[2].closed);
  CHECK(length(d.paths[2].curves[0]) + length(d.paths[2].curves[1]) == Approx(2 * std::numbers::pi));
}

TEST_CASE("an arc all the way round is one, whatever angle it starts at and however it is rounded", "[dxf]") {
  // 12.3 and 372.3 are not 360 apart as numbers; exports round, up as well as down.
  for (const char* angles : {"|50 12.3|51 372.3", "|50 57.29577951308232|51 417.29577951308232",
                             "|50 0.1|51 0.1", "|50 30|51 30.000001", "|50 30|51 389.999999",
                             "|50 -33.1|51 326.9", "|50 372.3|51 12.3", "|50 0|51 360.000001"}) {
    CAPTURE(angles);
    const Drawing d = read(drawing(tags(std::string("0 ARC|10 1|20 1|40 2") + angles)));
    REQUIRE(d.paths.size() == 1);
    CHECK(d.paths[0].closed);
    double whole = 0.0;
    for (const Curve& curve : d.paths[0].curves) whole += length(curve);
    CHECK(whole == Approx(4.0 * std::numbers::pi));
  }
  for (const char* ends : {"|41 0|42 6.283185307179586", "|41 0|42 6.283185", "|41 0|42 6.28319",
                           "|41 0|42 6.2832", "|41 0|42 6.2831", "|41 1|42 7.2832", "|41 2.5|42 2.5"}) {
    CAPTURE(ends);
    const Drawing d = read(drawing(tags(std::string("0 ELLIPSE|10 1|20 0|11 2|21 0|40 1") + ends)));
    REQUIRE(d.paths.size() == 1);
    CHECK(length(d.paths[0].curves[0]) == Approx(4.0 * std::numbers::pi).epsilon(1e-4));
  }
  // What is a short arc stays one.
  const Drawing d = read(drawing(tags("0 ARC|10 0|20 0|40 2|50 30|51 30.001")));
  REQUIRE(d.paths.size() == 1);
  CHECK_FALSE(d.paths[0].closed);
}

TEST_CASE("an object coordinate system that looks down is turned back, kind by kind", "[dxf]") {
  const std::string down = "|210 0|220 0|230 -1";
  const Drawing d = read(drawing(
      tags("0 ARC|10 1|20 1|40 2|50 0|51 90" + down + "|0 CIRCLE|10 5|20 1|40 2" + down +
           "|0 LWPOLYLINE|90 2|70 0|10 1|20 0|42 0.5|10 3|20 0" + down + "|0 LINE|10 1|20 2|11 3|21 2" +
           down + "|0 ELLIPSE|10 1|20 0|11 2|21 0|40 0.5|41 0|42 1.5707963267948966" + down +
           "|0 TEXT|10 4|20 1|40 3|1 A|50 0" + down + "|0 POINT|10 6|20 1" + down)));
  REQUIRE(d.paths.size() == 4);
  check_point(start_of(d.paths[0].curves[0]), {-3, 1});  // seen from above, the arc runs clockwise
  check_point(end_of(d.paths[0].curves[0]), {-1, 3});
  CHECK(std::get<Arc>(d.paths[0].curves[0]).bulge < 0.0);
  check_point(d.circles.at(0).centre, {-5, 1});
  check_point(start_of(d.paths[1].curves[0]), {-1, 0});
  CHECK(std::get<Arc>(d.paths[1].curves[0]).bulge == -0.5);
  check_point(start_of(d.paths[2].curves[0]), {1, 2});  // LINE is in world coordinates
  check_point(start_of(d.paths[3].curves[0]), {3, 0});  // ELLIPSE too, but it runs the other way round
  check_point(end_of(d.paths[3].curves[0]), {1, -1});
  check_point(d.texts.at(0).at, {-4, 1});
  CHECK(std::abs(d.texts[0].angle.value()) == Approx(std::numbers::pi));
  check_point(d.points.at(0).at, {6, 1});
}

TEST_CASE("tilted planes and differing heights are refused with their place", "[dxf]") {
  CHECK_THAT(dxf_refusal(drawing(tags("0 CIRCLE|8 a|10 0|20 0|40 1|210 0|220 1|230 0"))),
             Contains("line 19") && Contains("tilted"));
  CHECK_THAT(dxf_refusal(drawing(tags("0 LINE|10 0|20 0|30 0|11 1|21 0|31 2"))), Contains("not flat"));
  CHECK_THAT(dxf_refusal(drawing(tags("0 CIRCLE|10 0|20 0|40 1|210 0|220 0|230 0"))), Contains("tilted"));
  CHECK(read(drawing(tags("0 LINE|10 0|20 0|30 7|11 1|21 0|31 7"))).paths.size() == 1);
}

TEST_CASE("polylines keep bulges and the closed flag; duplicate vertices start no segment", "[dxf]") {
  const std::string lw =
      "0 LWPOLYLINE|90 5|70 1|38 2|43 0.5|10 0|20 0|10 0|20 0|42 1|10 2|20 0|10 2|20 3|10 0|20 0";
  const std::string old =
      "0 POLYLINE|66 1|70 1|10 0|20 0|0 VERTEX|10 0|20 0|0 VERTEX|10 0|20 0|42 1|0 VERTEX|10 2|20 0|"
      "0 VERTEX|10 2|20 3|0 VERTEX|10 0|20 0|0 SEQEND";
  for (const std::string& text : {lw, old}) {
    const Drawing d = read(drawing(tags(text)));
    REQUIRE(d.paths.size() == 1);
    const DrawnPath& path = d.paths[0];
    CHECK(path.closed);
    CHECK(path.vertices == 5);
    CHECK(path.duplicates == 2);
    REQUIRE(path.curves.size() == 3);
    CHECK(length(path.curves[0]) == Approx(std::numbers::pi));
    for (std::size_t i = 0; i < 3; ++i) CHECK(end_of(path.curves[i]) == start_of(path.curves[(i + 1) % 3]));
  }
}

TEST_CASE("a smoothed polyline is read as drawn, without its control frame; meshes are left out", "[dxf]") {
  const Drawing d =
      read(drawing(tags("0 POLYLINE|66 1|70 4|75 6|0 VERTEX|10 0|20 9|70 16|0 VERTEX|10 0|20 0|70 8|"
                        "0 VERTEX|10 1|20 1|70 8|0 VERTEX|10 5|20 9|70 16|0 SEQEND|"
                        "0 POLYLINE|66 1|70 16|71 2|72 2|0 VERTEX|10 0|20 0|70 64|0 SEQEND")));
  REQUIRE(d.paths.size() == 1);
  CHECK(d.paths[0].curves.size() == 1);
  REQUIRE(d.left_out.size() == 1);
  CHECK(d.left_out[0].reason == "a mesh");
}

TEST_CASE("splines with weights are exact circles; fit points alone are refused", "[dxf]") {
  const std::string quarter =
      "0 SPLINE|70 12|71 2|72 6|73 3|74 0|40 0|40 0|40 0|40 1|40 1|40 1|"
      "10 1|20 0|30 0|41 1|10 1|20 1|30 0|41 0.7071067811865476|10 0|20 1|30 0|41 1";
  const Drawing d = read(drawing(tags(quarter)));
  REQUIRE(d.paths.size() == 1);
  for (double t : {0.0, 0.3, 0.7, 1.0})
    CHECK(norm(point_at(d.paths[0].curves[0], t)) == Approx(1.0).epsilon(1e-14));
  CHECK_THAT(dxf_refusal(drawing(tags("0 SPLINE|70 8|71 3|74 2|11 0|21 0|31 0|11 5|21 5|31 0"))),
             Contains("fit points only"));
  CHECK_THAT(dxf_refusal(drawing(tags("0 SPLINE|70 8|71 3|72 3|73 2|40 0|40 0|40 1|10 0|20 0|10 1|20 1"))),
             Contains("line 19"));
  CHECK_THAT(
      dxf_refusal(drawing(
          tags("0 SPLINE|70 8|71 2|72 6|73 4|40 0|40 0|40 0|40 1|40 1|40 1|10 0|20 0|10 1|20 1|10 2|20 0"))),
      Contains("promises 4 control points"));
}

TEST_CASE("ellipses are exact, part and whole", "[dxf]") {
  const Drawing d =
      read(drawing(tags("0 ELLIPSE|10 10|20 20|11 3|21 4|40 0.5|41 0|42 6.283185307179586|"
                        "0 ELLIPSE|10 0|20 0|11 2|21 0|40 0.5|41 4.71238898038469|42 7.853981633974483")));
  REQUIRE(d.paths.size() == 2);
  CHECK(d.paths[0].closed);
  check_point(start_of(d.paths[1].curves[0]), {0, -1});
  check_point(end_of(d.paths[1].curves[0]), {0, 1});
  for (double t : {0.1, 0.4, 0.9}) {
    const Vec2 p = point_at(d.paths[1].curves[0], t);
    CHECK(p.x * p.x / 4.0 + p.y * p.y == Approx(1.0).epsilon(1e-13));
  }
}

TEST_CASE("texts lose their codes and keep place, height and angle", "[dxf]") {
  const Drawing d = read(drawing(
      tags("0 TEXT|10 1|20 2|11 5|21 6|72 1|40 3.5|50 90|1 8%%d vamp|"
           "0 MTEXT|10 1|20 2|40 2|11 0|21 2|3 long |1 {\\fArial;name}|101 Embedded Object|10 99|20 99|"
           "0 ATTDEF|10 0|20 0|2 TAG")));
  REQUIRE(d.texts.size() == 2);
  CHECK(d.texts[0].text == "8° vamp");
  CHECK(d.texts[0].height == 3.5);
  check_point(d.texts[0].at, {5, 6});  // centred texts hang on their second point
  CHECK(d.texts[0].angle.value() == Approx(std::numbers::pi / 2));
  CHECK(d.texts[1].text == "long name");
  check_point(d.texts[1].at, {1, 2});
  CHECK(d.texts[1].angle.value() == Approx(std::numbers::pi / 2));
  CHECK(d.left_out.size() == 1);
}

TEST_CASE("what is not read is listed with its reason", "[dxf]") {
  const Drawing d = read(
      drawing(tags("0 HATCH|8 a|0 3DSOLID|0 LINE|67 1|10 0|20 0|11 1|21 1|0 LINE|60 1|10 0|20 0|11 1|21 1|"
                   "0 LINE|10 3|20 3|11 3|21 3|0 CIRCLE|10 0|20 0|40 0|0 LWPOLYLINE|90 1|70 1|10 0|20 0|0 "
                   "LINE|10 0|20 0|11 1|21 1|"
                   "102 {ACAD_REACTORS|330 1|102 }|1001 APP|1010 9|1020 9")));
  CHECK(d.paths.size() == 1);
  REQUIRE(d.left_out.size() == 7);
  CHECK(d.left_out[0].from.entity == "HATCH");
  CHECK(d.left_out[2].reason == "in the paper space");
  CHECK(d.left_out[3].reason == "marked invisible");
  CHECK(d.left_out[4].reason == "it has no length");
  CHECK(d.entities_in == 8);
}

TEST_CASE("the unit comes from the file or from the caller, or is asked for", "[dxf]") {
  const std::string line = section("ENTITIES", tags("0 LINE|10 0|20 0|11 1|21 0")) + "0\nEOF\n";
  const auto with_unit = [&](const std::string& number) {
    return section("HEADER", tags("9 $INSUNITS|70 " + number)) + line;
  };
  const std::vector<std::pair<std::string, double>> units{
      {"1", 25.4}, {"2", 304.8}, {"4", 1.0}, {"5", 10.0}, {"6", 1000.0}};
  for (const auto& [number, mm] : units) {
    const Drawing d = read(with_unit(number));
    CHECK(length(d.paths[0].curves[0]) == Approx(mm).epsilon(1e-15));
    CHECK(d.unit_from_file);
  }
  CHECK_THAT(dxf_refusal(line), Contains("--units"));
  CHECK_THAT(dxf_refusal(with_unit("0")), Contains("--units"));
  CHECK_THAT(dxf_refusal(with_unit("18")), Contains("--units"));
  DxfReadOptions inches;
  inches.unit = DrawingUnit::kInch;
  CHECK(read_dxf(with_unit("4"), inches).value().unit_in_mm == 25.4);
}
