// How a changed sheet lies: outlines that fit in several ways are told apart by what is drawn in them.
#include "grading/redraw/drawing_motion.hpp"

#include <catch2/catch.hpp>

#include "grading/pieces/place/piece_lie.hpp"
#include "tests/support/laws.hpp"

namespace lastwright {

namespace {

// A strap that is the same turned half round and turned over.
OutlineRuler plain_strap(double length, double width, const PlaneAffine& motion) {
  const Vec2 corners[] = {{0, 0}, {length, 0}, {length, width}, {0, width}};
  std::vector<Curve> curves;
  for (std::size_t i = 0; i < 4; ++i) {
    Vec2 from = corners[i];
    Vec2 to = corners[(i + 1) % 4];
    curves.push_back(Line{motion.point(from), motion.point(to)});
  }
  // Walked counter-clockwise, however it lies.
  if (motion.mirrors()) {
    std::vector<Curve> back;
    for (std::size_t i = curves.size(); i-- > 0;) {
      const Line& line = std::get<Line>(curves[i]);
      back.push_back(Line{line.b, line.a});
    }
    curves = std::move(back);
  }
  return OutlineRuler(std::move(curves));
}

}  // namespace

TEST_CASE("a sheet of a piece that fits in four ways lies as its marks say", "[redraw][law]") {
  int asked = 0;
  test::holds_for_all("the sheet is laid back by its marks", [&] {
    const double length = *rc::gen::inRange(90, 220);
    const double width = *rc::gen::inRange(10, 30);
    // Off both middle lines, so that each of the four ways has other places for it.
    const double share = *rc::gen::inRange(5, 40) / 100.0;
    const Vec2 hole{share * length, 0.3 * width};
    const Vec2 text{0.1 * length, 0.4 * width};
    DrawingPose spec;
    spec.mirrored = *rc::gen::inRange(0, 2) == 1;
    spec.turn = *rc::gen::inRange(-180, 181);
    spec.by = {*rc::gen::inRange(-500, 501) * 1.0, *rc::gen::inRange(-500, 501) * 1.0};
    const PlaneAffine there = motion_of(spec);
    const OutlineRuler was = plain_strap(length, width, {});
    const OutlineRuler now = plain_strap(length, width, there);
    const Result<DrawingMotion> found =
        find_drawing_motion({{&now, {&was}}}, 12.0, {{hole, text}, {there.point(hole), there.point(text)}});
    if (!found) UNSCOPED_INFO(found.problem().message);
    RC_ASSERT(found.ok());
    for (const Vec2 p : {hole, text, Vec2{0, 0}, Vec2{length, 0}})
      RC_ASSERT(distance(found->motion.point(there.point(p)), p) < 0.02);
    ++asked;
  });
  CHECK(asked > 50);
}

TEST_CASE("without marks a sheet that fits in several ways is taken as it is, or refused", "[redraw]") {
  const OutlineRuler was = plain_strap(150, 14, {});
  CHECK_FALSE(find_drawing_motion({{&was, {&was}}}, 12.0)->sheet.has_value());
  DrawingPose spec;
  spec.by = {400, 30};
  const OutlineRuler now = plain_strap(150, 14, motion_of(spec));
  const Result<DrawingMotion> open = find_drawing_motion({{&now, {&was}}}, 12.0);
  REQUIRE_FALSE(open.ok());
  CHECK(open.problem().message.find("in two ways") != std::string::npos);
}

}  // namespace lastwright
