// The demo last as other programs might hand it over: in inches, with a hinge cut and a thimble hole, by the
// kernel's own writer; and solids that are no lasts.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "geometry/solid/body_plan.hpp"
#include "geometry/solid/kernel/made_forms.hpp"
#include "grading/lasts/axis_frame.hpp"
#include "grading/lasts/fit_targets.hpp"
#include "grading/lasts/last_definitions.hpp"
#include "grading/lasts/roles.hpp"
#include "tests/last/standing_last.hpp"

using namespace lastwright;

namespace {

void check_like(const StandingLast& last, const StandingLast& other, double limit) {
  const Form mine = make_form(last.body);
  const Form theirs = make_form(other.body);
  for (const MeasureDefinition& d : default_last_definitions()) {
    INFO(d.measure);
    const Result<Measured> m = measure(d, theirs, other.landmarks);
    REQUIRE(m.ok());
    // The ground is found at the mesh's nodes: heights above it depend on the mesh by some hundredths.
    const double allowed = d.method == Method::kHeight ? std::max(limit, 0.03) : limit;
    CHECK(std::abs(m->value - measure(d, mine, last.landmarks)->value) < allowed);
  }
}

}  // namespace

TEST_CASE("a STEP file in inches measures in millimetres", "[last][step]") {
  Result<Body> small = to_body(*demo_standing().shape, 1.0);
  REQUIRE(small.ok());
  Motion shrink;
  shrink.rows = {Vec3{1 / 25.4, 0, 0}, Vec3{0, 1 / 25.4, 0}, Vec3{0, 0, 1 / 25.4}};
  move(*small, shrink);
  std::string step = *write_step(*small, {"in inches", ""});
  // The unit as Part 42 has it: a conversion based unit of 25.4 of the millimetre that was there.
  const std::string millimetre = "=(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.));";
  const std::size_t at = step.find(millimetre);
  REQUIRE(at != std::string::npos);
  step.replace(at, millimetre.size(),
               "=(CONVERSION_BASED_UNIT('INCH',#900001)LENGTH_UNIT()NAMED_UNIT(#900002));\n"
               "#900001=LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4),#900003);\n"
               "#900002=DIMENSIONAL_EXPONENTS(1.,0.,0.,0.,0.,0.,0.);\n"
               "#900003" +
                   millimetre);
  const Result<KernelShape> shape = read_step(step);
  REQUIRE(shape.ok());
  // Coordinates were rounded to 1e-7 inches.
  check_like(demo_standing(), standing_last(*shape), 3e-3);
}

TEST_CASE("a thimble hole and a hinge cut are told from the last and stay out of its measures",
          "[last][hole][slow]") {
  const StandingLast& last = simple_standing();
  // Along the foot's width through the cone, where jigs hold a last; in the file's own frame.
  const Vec3 at = [&] {
    const Motion& to = last.standing.motion;
    const Vec3 p = Vec3{60, 0, 80} - to.shift;  // back: the rows are orthonormal
    return p.x * to.rows[0] + p.y * to.rows[1] + p.z * to.rows[2];
  }();
  SECTION("hole") {
    const Result<KernelShape> holed = kernel_with_hole(*last.shape, at.x, at.z, 6.0);
    REQUIRE(holed.ok());
    const StandingLast with = standing_last(*holed);
    int holes = 0;
    for (const BodyFace& f : with.body.faces) holes += f.role == FaceRole::kHole;
    CHECK(holes > 0);
    for (const auto& [name, spot] : with.landmarks) {
      INFO(name);
      CHECK(with.body.faces[static_cast<std::size_t>(spot.face)].role != FaceRole::kHole);
    }
    check_like(last, with, 5e-3);
  }
  SECTION("v cut") {
    // A wedge out of the cone, down to a line, as a last that folds has: no girth crosses its sides alone.
    const Result<KernelShape> cut =
        kernel_with_v_cut(*last.shape, at.x + 35.0, 14.0, at.z - 15.0, at.z + 60.0);
    REQUIRE(cut.ok());
    const StandingLast with = standing_last(*cut);
    int holes = 0;
    for (const BodyFace& f : with.body.faces) holes += f.role == FaceRole::kHole;
    CHECK(holes > 0);
    check_like(last, with, 5e-3);
  }
  SECTION("hinge cut") {
    // A saw cut from the top plane down, across the last: girths bridge it.
    const Result<KernelShape> cut = kernel_with_slot(*last.shape, at.x + 35.0, 3.0, at.z - 15.0);
    REQUIRE(cut.ok());
    const StandingLast with = standing_last(*cut);
    int holes = 0;
    for (const BodyFace& f : with.body.faces) holes += f.role == FaceRole::kHole;
    CHECK(holes > 0);
    check_like(last, with, 5e-3);
  }
}

TEST_CASE("a last of more patches measures the same, is graded and read back", "[last][step][slow]") {
  const StandingLast& last = simple_standing();
  const Motion& to = last.standing.motion;
  const double x = dot(Vec3{150, 0, 0} - to.shift, Vec3{to.rows[0].x, to.rows[1].x, to.rows[2].x});
  const Result<KernelShape> cut = kernel_in_patches(*last.shape, x);
  INFO((cut.ok() ? std::string() : to_text(cut.problem())));
  REQUIRE(cut.ok());
  const StandingLast patched = standing_last(*cut);
  CHECK(patched.body.faces.size() > last.body.faces.size() + 2);
  check_like(last, patched, 2.0 * kSimpleFit);  // the faces that meet at an edge lie so far off it

  Body framed = patched.body;
  const Result<AxisFrame> frame = axis_frame_of(framed, patched.standing, patched.landmarks);
  REQUIRE(frame.ok());
  AxisMap start = identity_map(*frame);
  start.stretch = 1.03;
  std::vector<MeasureTarget> targets;
  const Form form = make_form(patched.body);
  for (const MeasureDefinition& d : default_last_definitions()) {
    if (d.method != Method::kPlaneHull || d.measure.find("heel") != std::string::npos) continue;
    targets.push_back({d, measure(d, form, patched.landmarks)->value + 6.35});
  }
  REQUIRE(targets.size() == 3);
  const Result<Fit> fit = fit_targets(patched.body, patched.landmarks, start, targets);
  REQUIRE(fit.ok());
  double error = 1.0;
  const Body image =
      BodyPlan(patched.body, std::vector<const SpaceMap*>{&fit->map}, 2e-3).image(fit->map, error);
  CHECK(error < 4e-3);
  const Result<std::string> step = write_step(image, {"patches", ""});
  REQUIRE(step.ok());
  const Body again = read_again(*step, 0.8);
  for (const auto& [name, spot] : patched.landmarks) {
    INFO(name);
    CHECK(distance(again.at(spot).p, fit->map(patched.body.at(spot).p)) < 4e-3);
  }
  for (const MeasureTarget& target : targets) {
    INFO(target.definition.measure);
    CHECK(std::abs(measure(target.definition, make_form(image), patched.landmarks)->value - target.value) <
          0.01);
    CHECK(std::abs(measure(target.definition, make_form(again), patched.landmarks)->value - target.value) <
          0.01);
  }
}

TEST_CASE("solids that are no lasts are refused with the reason", "[last][stand]") {
  const auto refusal = [](const KernelShape& shape) {
    Result<Body> body = to_body(shape, 1.0);
    REQUIRE(body.ok());
    const Result<Standing> standing = stand(*body);
    return standing.ok() ? std::string("stands") : standing.problem().message;
  };
  const auto refused = [&](const KernelShape& shape, const std::string& why) {
    const std::string said = refusal(shape);
    INFO(said);
    CHECK(said.find(why) != std::string::npos);
  };
  refused(kernel_cylinder(40, 60), "as long as a last");
  refused(kernel_cylinder(20, 300), "");
  CHECK(refusal(kernel_cylinder(20, 300)) != "stands");
  refused(kernel_ellipsoid(140, 45, 35), "not the form of a last");
  CHECK_FALSE(read_step("solid not a STEP file").ok());
  CHECK_FALSE(read_step("ISO-10303-21;\nHEADER;\n").ok());
}
