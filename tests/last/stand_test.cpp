// Lasts of any heel in any pose: what stands by its form, by its file, and what is refused.
#include "grading/lasts/stand.hpp"

#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <map>
#include <numbers>

#include "geometry/solid/kernel/made_forms.hpp"
#include "geometry/solid/step_write.hpp"
#include "grading/lasts/base_last.hpp"
#include "grading/lasts/roles.hpp"
#include "tests/last/standing_last.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

Motion turn_about(Vec3 axis, double degrees, Vec3 shift = {}) {
  const double a = degrees * std::numbers::pi / 180.0;
  const Vec3 k = unit(axis);
  const auto turned = [&](Vec3 p) {
    return std::cos(a) * p + std::sin(a) * cross(k, p) + (1.0 - std::cos(a)) * dot(k, p) * k;
  };
  const Vec3 x = turned({1, 0, 0});
  const Vec3 y = turned({0, 1, 0});
  const Vec3 z = turned({0, 0, 1});
  return {{Vec3{x.x, y.x, z.x}, Vec3{x.y, y.y, z.y}, Vec3{x.z, y.z, z.z}}, shift};
}

// A last with this heel, as its file holds it; several cases ask for the same.
const Body& heeled(double heel_height, double steeper_seat = 0.0) {
  static std::map<std::pair<double, double>, Body> made;
  const auto known = made.find({heel_height, steeper_seat});
  if (known != made.end()) return known->second;
  DemoLast demo;
  demo.heel_height = heel_height;
  demo.steeper_seat = steeper_seat;
  demo.toe_spring = 7.0;
  demo.fit = 0.02;
  const Result<std::string> step = write_step(make_demo_last(demo), {"heel", ""});
  REQUIRE(step.ok());
  return made.emplace(std::pair{heel_height, steeper_seat}, read_again(*step, kMeasuringMesh)).first->second;
}

using Values = std::map<std::string, double>;
Result<Values> values_of(Body body, const Motion& motion, const LastPoseChoice& pose = {}) {
  move(body, motion);
  const Result<BaseLast> last = make_measured_last(std::move(body), pose, {});
  if (!last) return last.problem();
  Values values;
  for (std::size_t i = 0; i < last->definitions.size(); ++i)
    values[last->definitions[i].measure] = last->values[i].value;
  return values;
}

double farthest_apart(const Values& a, const Values& b) {
  double most = 0.0;
  for (const auto& [measure, value] : a) most = std::max(most, std::abs(value - b.at(measure)));
  return most;
}

// What the open pitch does to each measure is told, and is no less than what it did here; where the heel is
// stated nothing is open.
void check_spread(const Body& body, const Values& upright) {
  Body lying = body;
  move(lying, turn_about({1, -2, 0.4}, 115.0, {400, -3, 90}));
  const Result<BaseLast> by_form = make_measured_last(lying, {}, {});
  REQUIRE(by_form.ok());
  const std::vector<double> spread = spread_of_pitch(*by_form, {});
  REQUIRE(spread.size() == by_form->definitions.size());
  for (std::size_t i = 0; i < spread.size(); ++i) {
    INFO(by_form->definitions[i].measure);
    const double off = std::abs(by_form->values[i].value - upright.at(by_form->definitions[i].measure));
    CHECK(off < 1.1 * spread[i] + 0.05);
    CHECK(spread[i] < 9.0);
    if (by_form->definitions[i].measure == "waist girth") CHECK(spread[i] > 1.0);
  }
  const std::optional<std::string> told = told_spread(*by_form, {});
  REQUIRE(told.has_value());
  CHECK(told->find("waist girth") != std::string::npos);
  const Result<BaseLast> stated = make_measured_last(std::move(lying), {upright.at("heel height"), ""}, {});
  REQUIRE(stated.ok());
  CHECK(spread_of_pitch(*stated, {}).empty());
  CHECK_FALSE(told_spread(*stated, {}).has_value());
}

}  // namespace

TEST_CASE("heels of 20 to 90 mm are read as high as they are", "[last][stand][slow]") {
  for (const double heel : {20.0, 90.0}) {
    INFO("heel " << heel);
    const Body& body = heeled(heel);
    const Result<Values> upright = values_of(body, {});
    INFO((upright.ok() ? "" : to_text(upright.problem())));
    REQUIRE(upright.ok());
    // The ground is the lowest point of the bottom, which is round across: up to 1.4 mm below its middle
    // line.
    // Under the middle of the seat it has fallen by two and a half hundredths of the heel already.
    CHECK(std::abs(upright->at("heel height") - 0.975 * heel) < 1.6);
    CHECK(std::abs(upright->at("stick length") - 279.4) < 0.3);
    // By its form alone: to what lasts differ by in their bottoms, which is said.
    const Result<Values> lying = values_of(body, turn_about({1, -2, 0.4}, 115.0, {400, -3, 90}));
    INFO((lying.ok() ? "" : to_text(lying.problem())));
    REQUIRE(lying.ok());
    CHECK(std::abs(lying->at("heel height") - upright->at("heel height")) < 0.06 * heel + 1.5);
    CHECK(std::abs(lying->at("stick length") - upright->at("stick length")) < 0.045 * heel);
    CHECK(std::abs(lying->at("ball girth") - upright->at("ball girth")) < 1.0);
    if (heel == 20.0) check_spread(body, *upright);
    // The height that is stated is the height that is measured, from any pose.
    const Result<Values> stated =
        values_of(body, turn_about({0.3, 1, 0.2}, 200.0, {0, 0, 50}), {upright->at("heel height"), ""});
    REQUIRE(stated.ok());
    CHECK(farthest_apart(*upright, *stated) < 0.1);
  }
}

TEST_CASE("a last measures the same in whatever pose its file holds it", "[last][stand][law]") {
  const Body& body = heeled(20.0);
  const Result<Values> home = values_of(body, turn_about({1, 2, 3}, 77.0));
  REQUIRE(home.ok());
  double most = 0.0;
  test::holds_for_all(
      "measures do not depend on the file's origin and axes",
      [&] {
        const auto number = [] { return *rc::gen::inRange(-1000, 1001) / 1000.0; };
        const Vec3 axis{number(), number(), number()};
        RC_PRE(norm(axis) > 0.1);
        const Motion motion =
            turn_about(axis, 180.0 * number(), {500 * number(), 9 * number(), 300 * number()});
        // Near the standing pose the file's own axes decide; that is another law.
        RC_PRE(std::abs(motion.rows[2].z) < 0.9 && std::abs(motion.rows[2].x) < 0.9 &&
               std::abs(motion.rows[2].y) < 0.9);
        RC_PRE(std::abs(motion.rows[0].x) < 0.9 && std::abs(motion.rows[0].y) < 0.9 &&
               std::abs(motion.rows[0].z) < 0.9);
        const Result<Values> turned = values_of(body, motion);
        RC_ASSERT(turned.ok());
        most = std::max(most, farthest_apart(*home, *turned));
        RC_ASSERT(farthest_apart(*home, *turned) < 0.01);
      },
      5);
  INFO("farthest apart " << most);
  CHECK(most > 0.0);
}

TEST_CASE(
    "a high heel with a steep seat stands by the axes of its file, and by its form within the doubt told",
    "[last][stand]") {
  for (const auto& [heel, steeper] : {std::pair{70.0, 4.0}, {90.0, 8.0}}) {
    INFO("heel " << heel << ", seat steeper by " << steeper);
    Body upright = heeled(heel, steeper);
    Body lying = upright;
    const Result<Standing> drawn = stand_pose(upright);
    INFO((drawn.ok() ? "" : to_text(drawn.problem())));
    REQUIRE(drawn.ok());
    CHECK(drawn->by == PoseBy::kFileUp);
    CHECK(drawn->motion.rows[2].z > 1.0 - 1e-12);
    CHECK(told_of(*drawn).find("the form alone would have its toe") != std::string::npos);
    // It is another law that it is pitched as the file has it: the form may be off by what it leaves open.
    CHECK(std::abs(drawn->form_pitch) < 2.0 * drawn->doubt);
    move(lying, turn_about({1, -2, 0.4}, 115.0, {400, -3, 90}));
    const Motion turned = turn_about({1, -2, 0.4}, 115.0, {400, -3, 90});
    const Result<Standing> by_form = stand_pose(lying);
    REQUIRE(by_form.ok());
    CHECK(by_form->by == PoseBy::kForm);
    const double off = std::acos(std::min(1.0, by_form->motion.turned(turned.turned({0, 0, 1})).z));
    CHECK(off > 0.5 * std::numbers::pi / 180.0);  // or there would be nothing to be told
    CHECK(off < 2.0 * by_form->doubt + 0.2 * std::numbers::pi / 180.0);
  }
}

TEST_CASE("a file that is turned, rolled or moved says the same as the upright one", "[last][stand]") {
  const Body& body = heeled(45.0);
  const Result<Values> upright = values_of(body, {});
  REQUIRE(upright.ok());
  for (const auto& [name, motion] : {std::pair{"moved", turn_about({0, 0, 1}, 0.0, {70, -900, 33})},
                                     {"turned about", turn_about({0, 0, 1}, 152.0)},
                                     {"lying on its side", turn_about({1, 0, 0}, 90.0)},
                                     {"heel down", turn_about({0, 1, 0}, 90.0)},
                                     {"upside down", turn_about({1, 0, 0}, 180.0)}}) {
    INFO(name);
    const Result<Values> other = values_of(body, motion);
    REQUIRE(other.ok());
    CHECK(farthest_apart(*upright, *other) < 1e-3);
  }
  for (const double roll : {-7.0, 10.0}) {
    INFO("rolled by " << roll);
    const Result<Values> other = values_of(body, turn_about({1, 0, 0}, roll));
    REQUIRE(other.ok());
    CHECK(farthest_apart(*upright, *other) < 0.15);
  }
}

TEST_CASE("a pitch that file and form tell differently is refused with both, and an option decides",
          "[last][stand]") {
  const Body& body = heeled(20.0);
  const Result<Values> upright = values_of(body, {});
  REQUIRE(upright.ok());
  const Motion pitched = turn_about({0, 1, 0}, 6.0);
  const Result<Values> refused = values_of(body, pitched);
  REQUIRE_FALSE(refused.ok());
  CHECK(refused.problem().message.find("two ways") != std::string::npos);
  CHECK(refused.problem().message.find("--heel-height") != std::string::npos);
  const Result<Values> by_height = values_of(body, pitched, {upright->at("heel height"), ""});
  REQUIRE(by_height.ok());
  CHECK(farthest_apart(*upright, *by_height) < 0.1);
  const Result<Values> by_axes = values_of(body, turn_about({0, 1, 0}, 2.0), {{}, "x,z"});
  INFO((by_axes.ok() ? "" : to_text(by_axes.problem())));
  REQUIRE(by_axes.ok());
  CHECK(by_axes->at("heel height") > upright->at("heel height") + 2.0);
  CHECK_FALSE(values_of(body, {}, {{}, "x,x"}).ok());
  CHECK_FALSE(values_of(body, {}, {{}, "up"}).ok());
}

TEST_CASE("stated axes that stand the last otherwise than its form says are obeyed, and told with figures",
          "[last][stand]") {
  const Body& body = heeled(20.0);
  const auto said = [&body](const std::string& axes, const Motion& motion = {}) {
    Body one = body;
    move(one, motion);
    StandOptions options;
    options.axes = axes;
    const Result<Standing> standing = stand(one, options);
    std::string notes = standing.ok() ? "" : to_text(standing.problem());
    for (const std::string& note : one.notes) notes += note + "\n";
    return notes;
  };
  const std::string otherwise = "otherwise than its form says";
  CHECK(said("x,z").find(otherwise) == std::string::npos);
  CHECK(said("x,z", turn_about({0, 1, 0}, 6.0)).find(otherwise) == std::string::npos);  // a pitch is a choice
  CHECK(said("-y,z", turn_about({0, 0, 1}, -90.0)).find(otherwise) == std::string::npos);
  const std::string swapped = said("-x,z");
  INFO(swapped);
  CHECK(swapped.find("says: heel and toe are swapped, its left side is taken for the right (") !=
        std::string::npos);
  CHECK(swapped.find("nearest to x,z") != std::string::npos);
  // Where nothing can be measured in that pose the refusal says it too.
  const Result<Values> nothing = values_of(body, {}, {{}, "x,-z"});
  REQUIRE_FALSE(nothing.ok());
  CHECK(to_text(nothing.problem()).find("it is upside down") != std::string::npos);
  CHECK(said("x,-z").find("says: it is upside down, its left side is taken for the right (") !=
        std::string::npos);
  CHECK(said("-x,-z").find("says: heel and toe are swapped, it is upside down (") != std::string::npos);
  CHECK(said("x,z", turn_about({1, 0, 0}, 40.0)).find("says: it leans by 40 degrees (") != std::string::npos);
}

TEST_CASE("the ground, heel and toe are the outermost points of the surface, however it is cut",
          "[last][stand]") {
  const StandingLast& last = simple_standing();
  const auto heights = [](const Body& body) {
    return std::array<double, 3>{body.at(farthest(body, {0, 0, -1})).p.z,
                                 body.at(farthest(body, {-1, 0, 0})).p.x,
                                 body.at(farthest(body, {1, 0, 0})).p.x};
  };
  const std::array<double, 3> whole = heights(last.body);
  CHECK(std::abs(whole[0]) < 1e-6);
  CHECK(std::abs(whole[1]) < 1e-6);
  // Against a mesh far finer, whose corners lie on the surface.
  Result<Body> fine = to_body(*last.shape, 0.1);
  REQUIRE(fine.ok());
  move(*fine, last.standing.motion);
  std::array<double, 3> corners{1e9, 1e9, -1e9};
  for (const MeshNode& n : fine->mesh.nodes) {
    corners[0] = std::min(corners[0], n.point.z);
    corners[1] = std::min(corners[1], n.point.x);
    corners[2] = std::max(corners[2], n.point.x);
  }
  CHECK(corners[0] > whole[0] - 1e-5);
  CHECK(corners[0] < whole[0] + 0.05);
  CHECK(corners[1] > whole[1] - 1e-5);
  CHECK(corners[2] < whole[2] + 1e-5);
  // Cut through near the tread, the middle and the toe: the same points to the micrometre.
  for (const double at : {201.9, 274.0}) {
    const Result<KernelShape> cut = kernel_in_patches(*last.shape, at);
    REQUIRE(cut.ok());
    Result<Body> patched = to_body(*cut, kMeasuringMesh);
    REQUIRE(patched.ok());
    move(*patched, last.standing.motion);
    const std::array<double, 3> now = heights(*patched);
    for (std::size_t i = 0; i < 3; ++i) CHECK(std::abs(now[i] - whole[i]) < 1e-4);
  }
}
