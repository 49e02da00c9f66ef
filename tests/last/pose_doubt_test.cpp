// What the form has against the pose of a file, or against axes that were stated: figures, and never a wrong
// advice.
#include <fmt/format.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <numbers>

#include "grading/lasts/base_last.hpp"
#include "grading/lasts/last_set.hpp"
#include "tests/last/standing_last.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

namespace {

const Body& low_heel() {
  static const Body body = [] {
    DemoLast demo;
    demo.heel_height = 45.0;
    demo.toe_spring = 7.0;
    demo.fit = 0.02;
    const Result<std::string> step = write_step(make_demo_last(demo), {"heel", ""});
    REQUIRE(step.ok());
    return read_again(*step, kMeasuringMesh);
  }();
  return body;
}

// Turned about the width, toe down, and then about the length.
Body turned(Body body, double toe_down, double rolled) {
  const double a = toe_down * std::numbers::pi / 180.0;
  move(body, {{Vec3{std::cos(a), 0, std::sin(a)}, Vec3{0, 1, 0}, Vec3{-std::sin(a), 0, std::cos(a)}}, {}});
  const double b = rolled * std::numbers::pi / 180.0;
  move(body, {{Vec3{1, 0, 0}, Vec3{0, std::cos(b), -std::sin(b)}, Vec3{0, std::sin(b), std::cos(b)}}, {}});
  return body;
}

BaseLast measured_as(Body body, const LastPoseChoice& pose = {}) {
  Result<BaseLast> last = make_measured_last(std::move(body), pose, {});
  INFO((last.ok() ? "" : to_text(last.problem())));
  REQUIRE(last.ok());
  return std::move(*last);
}

}  // namespace

TEST_CASE("a last that stands by its file shows by how much each measure would differ as its form stands",
          "[last][stand]") {
  // Far from every axis the form alone says how it stands.
  Body askew = turned(low_heel(), 33.0, 0.0);
  move(askew, {{Vec3{0.6, 0.8, 0}, Vec3{-0.8, 0.6, 0}, Vec3{0, 0, 1}}, {}});
  const BaseLast by_form = measured_as(std::move(askew));
  REQUIRE(by_form.standing.by == PoseBy::kForm);
  CHECK(differences_by_form(by_form, {}).empty());
  const double own = measured_as(low_heel()).standing.form_pitch;
  for (const auto& [toe_down, rolled] : {std::pair{0.0, 0.0}, {2.0, 0.0}, {-2.0, 0.0}, {2.0, 9.0}}) {
    INFO("tipped by " << toe_down << ", rolled by " << rolled);
    const BaseLast tipped = measured_as(turned(low_heel(), toe_down, rolled));
    REQUIRE(tipped.standing.by == (rolled == 0.0 ? PoseBy::kFileUp : PoseBy::kFilePitch));
    const std::vector<double> off = differences_by_form(tipped, {});
    REQUIRE(off.size() == tipped.values.size());
    for (std::size_t i = 0; i < off.size(); ++i) {
      INFO(tipped.definitions[i].measure);
      CHECK(tipped.values[i].value + off[i] == Approx(by_form.values[i].value).margin(0.4));
    }
    // Tipped toe down by so much, the form has the toe that much higher.
    CHECK(tipped.standing.form_pitch ==
          Approx(own - toe_down * std::numbers::pi / 180.0).margin(0.1 * std::numbers::pi / 180.0));
    if (toe_down != 0.0 && std::abs(tipped.standing.form_pitch) > 0.01)
      CHECK(told_of(tipped.standing).find(tipped.standing.form_pitch < 0.0 ? "higher" : "lower") !=
            std::string::npos);
    CHECK(told_spread(tipped, {}).has_value() ==
          (std::abs(tipped.standing.form_pitch) > 2.0 * tipped.standing.doubt));
  }
}

TEST_CASE("a file is believed up to three and a half degrees from its form", "[last][stand]") {
  const double own = measured_as(low_heel()).standing.form_pitch * 180.0 / std::numbers::pi;
  for (const double by_form : {-3.3, 3.3}) {
    INFO("form higher by " << by_form);
    CHECK(measured_as(turned(low_heel(), own + by_form, 0.0)).standing.by == PoseBy::kFileUp);
  }
  for (const double by_form : {-7.0, 7.0}) {
    INFO("form higher by " << by_form);
    Body body = turned(low_heel(), own + by_form, 0.0);
    const Result<BaseLast> refused = make_measured_last(std::move(body), {}, {});
    REQUIRE_FALSE(refused.ok());
    CHECK(refused.problem().message.find(by_form > 0.0 ? "7.0 degrees higher" : "7.0 degrees lower") !=
          std::string::npos);
  }
}

TEST_CASE("wrong axes are named in every refusal that comes of them, and no foot is asked for",
          "[last][stand][foot]") {
  const std::filesystem::path folder =
      std::filesystem::temp_directory_path() / fmt::format("lastwright-axes-{}", getpid());
  std::filesystem::create_directories(folder);
  const std::string demo = test::project_dir() + "/demo-patterns/cindergarth/";
  std::size_t refused = 0;
  for (const char* axes : {"x,y", "-z,x", "-x,z", "x,-z"}) {
    INFO(axes);
    std::ofstream(folder / "last.json") << fmt::format(
        R"({{"lastwright_last": 1, "style": "{0}style.json", "bases": [{{"file": "{0}last.step", )"
        R"("size": "8", "width": "F", "axes": "{1}"}}]}})",
        demo, axes);
    Checked<LastSet> load = load_last_set((folder / "last.json").string(), {"8"}, {"F"}, {});
    if (!load.ok()) {
      REQUIRE(load.problems().size() == 1);
      ++refused;
      INFO(to_text(load.problems()[0]));
      CHECK(load.problems()[0].message.find("the stated axes stand the last otherwise") != std::string::npos);
      CHECK(load.problems()[0].message.find("nearest to x,z") != std::string::npos);
      CHECK(load.problems()[0].message.find("\"foot\"") == std::string::npos);
      continue;
    }
    const Status graded = grade_last_set(*load, {}, [](auto, const auto&) -> Status { return Done{}; });
    if (!graded.ok()) {
      ++refused;
      INFO(to_text(graded.problem()));
      CHECK(graded.problem().message.find("the stated axes stand the last otherwise") != std::string::npos);
    } else {
      CHECK_FALSE(load->bases[0].standing.against_axes.empty());
    }
  }
  CHECK(refused > 0);
  std::filesystem::remove_all(folder);
}
