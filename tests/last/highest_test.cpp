// Marks on the ridge lie at the highest point of their station, however the last lies in its file.
#include <catch2/catch.hpp>
#include <cmath>
#include <map>
#include <numbers>

#include "geometry/solid/section.hpp"
#include "grading/lasts/roles.hpp"
#include "tests/last/standing_last.hpp"

using namespace lastwright;

TEST_CASE("marks on the ridge are the highest points of their stations, in any position of the file",
          "[last][landmarks][stand]") {
  DemoLast recipe;
  recipe.fit = kSimpleFit;
  recipe.chisel = 1.0;  // flat across the toe: a height a little lower lies some millimetres aside
  const Result<std::string> step = write_step(make_demo_last(recipe), {"chisel", ""});
  REQUIRE(step.ok());
  const Body drawn = read_again(*step, 0.8);
  std::map<std::string, double> aside;
  for (const double degrees : {0.0, 30.0}) {
    INFO("turned by " << degrees);
    const double a = degrees * std::numbers::pi / 180.0;
    Body body = drawn;
    move(body, {{Vec3{std::cos(a), -std::sin(a), 0}, {std::sin(a), std::cos(a), 0}, {0, 0, 1}}, {40, -7, 3}});
    const Result<Standing> standing = stand(body);
    REQUIRE(standing.ok());
    const Result<Landmarks> marks = propose_landmarks(body, *standing);
    REQUIRE(marks.ok());
    const Form form = make_form(body);
    for (const char* name : {"toe top", "waist top", "instep top", "ankle top"}) {
      INFO(name);
      const Vec3 mark = body.at(marks->at(name)).p;
      // By its definition: points of the section 0.01 mm apart.
      Vec3 top{0, 0, -1e300};
      const Section section =
          cut_section(form, plane_through({mark.x, 0, 0}, {1, 0, 0}), {1e-6, 24, {0, 0, 1}, mark.z - 0.02});
      for (const SectionStretch& s : section.stretches) {
        if (body.faces[static_cast<std::size_t>(s.face)].role != FaceRole::kUpper) continue;
        for (std::size_t i : s.point) {
          if (section.points[i].p.z > top.z) top = section.points[i].p;
        }
      }
      CHECK(mark.z == Approx(top.z).margin(kSimpleFit));  // a seam's own line lies so far off its faces
      CHECK(mark.y == Approx(top.y).margin(0.05));
      const auto [first, is_new] = aside.try_emplace(name, mark.y);
      CHECK(mark.y == Approx(first->second).margin(0.05));
    }
  }
}
