// The grading map, its gradients and its gates on the demo last.
#include <catch2/catch.hpp>
#include <cmath>

#include "geometry/solid/body_plan.hpp"
#include "geometry/solid/step_write.hpp"
#include "grading/lasts/axis_frame.hpp"
#include "grading/lasts/fit_targets.hpp"
#include "grading/lasts/last_definitions.hpp"
#include "grading/lasts/roles.hpp"
#include "grading/lasts/soundness.hpp"
#include "tests/last/standing_last.hpp"

using namespace lastwright;

namespace {

AxisMap wavy_map(const AxisFrame& frame) {
  AxisMap map = identity_map(frame);
  map.stretch = 1.03;
  map.heel_lift = 1.5;
  map.toe_lift = -0.7;
  map.top_lift = 3.0;
  for (int k = 0; k < kFieldCoefficients; ++k) {
    const auto i = static_cast<std::size_t>(k);
    map.bottom_width.coefficients[i] = 1.02 + 0.02 * std::sin(0.9 * k);
    map.upper_width.coefficients[i] = 1.03 + 0.03 * std::cos(0.7 * k);
    map.height.coefficients[i] = 1.01 + 0.03 * std::sin(0.6 * k + 1.0);
  }
  return map;
}

AxisFrame demo_frame() {
  Body copy = demo_standing().body;
  const Result<AxisFrame> frame = axis_frame_of(copy, demo_standing().standing, demo_standing().landmarks);
  REQUIRE(frame.ok());
  return *frame;
}

std::vector<MeasureTarget> targets_after(double ball, double waist, double instep, double tread,
                                         double seat) {
  const StandingLast& last = demo_standing();
  const Form form = make_form(last.body);
  std::vector<MeasureTarget> targets;
  for (const MeasureDefinition& d : default_last_definitions()) {
    for (const auto& [name, more] : {std::pair{"ball girth", ball},
                                     {"waist girth", waist},
                                     {"instep girth", instep},
                                     {"tread", tread},
                                     {"seat", seat}}) {
      if (d.measure == name) targets.push_back({d, measure(d, form, last.landmarks)->value + more});
    }
  }
  return targets;
}

}  // namespace

TEST_CASE("the map's derivative and determinant agree with differences", "[last][map]") {
  const AxisMap map = wavy_map(demo_frame());
  for (const Vec3& p :
       {Vec3{30, 20, 40}, Vec3{60, -15, 85}, Vec3{150, 10, 60}, Vec3{190, -45, 5}, Vec3{270, 8, 15}}) {
    AxisMap::Derivative d;
    map.with_derivative(p, d);
    constexpr double h = 1e-5;
    for (const Vec3& way : {Vec3{1, 0, 0}, Vec3{0, 1, 0}, Vec3{0, 0, 1}}) {
      const Vec3 difference = (map(p + h * way) - map(p - h * way)) / (2 * h);
      CHECK(norm(d.turned(way) - difference) < 1e-6);
    }
  }
}

TEST_CASE("analytic gradients of tapes and widths agree with central differences", "[last][gradient]") {
  const StandingLast& last = demo_standing();
  const AxisMap map = wavy_map(demo_frame());
  const Form form = make_form(last.body, &map);
  for (const MeasureDefinition& d : default_last_definitions()) {
    if (d.method != Method::kPlaneHull && d.method != Method::kDistance) continue;
    const Result<Gradient> gradient = measure_gradient(d, form, map, last.landmarks);
    REQUIRE(gradient.ok());
    double largest = 0.0;
    for (double g : gradient->by) largest = std::max(largest, std::abs(g));
    for (std::size_t k = 0; k < gradient->by.size(); ++k) {
      const auto value = [&](double by) {
        AxisMap moved = map;
        AxisSpline* fields[] = {&moved.bottom_width, &moved.upper_width, &moved.height};
        fields[k / kFieldCoefficients]->coefficients[k % kFieldCoefficients] += by;
        return measure(d, make_form(last.body, &moved), last.landmarks)->value;
      };
      INFO(d.measure << " by coefficient " << k);
      CHECK(std::abs(gradient->by[k] - (value(1e-3) - value(-1e-3)) / 2e-3) < 0.01 * largest + 0.02);
    }
  }
}

TEST_CASE("girths reach their targets on the written last, read back by the kernel", "[last][grade][slow]") {
  const StandingLast& last = demo_standing();
  AxisMap start = identity_map(demo_frame());
  start.stretch = 1.0 + 2 * 8.466667 / last.standing.length;
  // Two sizes and two widths up by the demo style's steps.
  const std::vector<MeasureTarget> targets = targets_after(25.4, 25.4, 25.4, 9.88, 6.0);
  const Result<Fit> fit = fit_targets(last.body, last.landmarks, start, targets);
  REQUIRE(fit.ok());
  CHECK(fit->worst < 1e-5);
  const BodyPlan plan(last.body, std::vector<const SpaceMap*>{&fit->map}, 2e-3);
  double error = 1.0;
  const Body image = plan.image(fit->map, error);
  CHECK(error < 4e-3);
  const Result<std::string> step = write_step(image, {"two up", ""});
  REQUIRE(step.ok());
  CHECK(*step == *write_step(plan.image(fit->map, error), {"two up", ""}));
  const Body again = read_again(*step, 0.7);
  const Form form = make_form(again);
  for (const MeasureTarget& target : targets) {
    INFO(target.definition.measure);
    CHECK(std::abs(measure(target.definition, form, last.landmarks)->value - target.value) < 0.01);
  }
  CHECK(
      std::abs((again.at(last.landmarks.at("toe point")).p - again.at(last.landmarks.at("heel point")).p).x -
               start.stretch * last.standing.length) < 1e-3);
  // A landmark is the same (face, u, v) on the written last.
  for (const auto& [name, spot] : last.landmarks) {
    INFO(name);
    CHECK(distance(again.at(spot).p, fit->map(last.body.at(spot).p)) < 4e-3);
  }
}

TEST_CASE("a section ends at the featherline, also where that is hollow", "[last][grade][girth]") {
  // The chords of a mesh along a hollow rim lie outside the face: a crossing found there lengthened the tape
  // by 0.1 mm. The surfaces of a written last have many knots, where the kernel puts nodes close to the rim;
  // on this one they made it happen at the inside of the waist.
  const StandingLast& last = demo_standing();
  AxisMap map = identity_map(demo_frame());
  map.stretch = 0.953;
  for (AxisSpline* field : {&map.bottom_width, &map.upper_width, &map.height}) {
    field->coefficients.assign(kFieldCoefficients, map.stretch);
  }
  double error = 1.0;
  const Result<std::string> step = write_step(
      BodyPlan(last.body, std::vector<const SpaceMap*>{&map}, 2e-3).image(map, error), {"smaller", ""});
  REQUIRE(step.ok());
  const Result<KernelShape> shape = read_step(*step);
  REQUIRE(shape.ok());
  Result<Body> body = to_body(*shape, 0.8);
  REQUIRE(body.ok());
  for (std::size_t i = 0; i < body->faces.size(); ++i) body->faces[i].role = last.body.faces[i].role;
  const std::vector<int> feather = feather_edges(*body);
  const Form form = make_form(*body);
  for (double x = 60.0; x < 240.0; x += 0.5) {
    INFO("station " << x);
    const std::optional<FeatherPair> pair = feather_at(*body, feather, x);
    REQUIRE(pair.has_value());
    const Section section = cut_section(form, plane_through({x, 0, 0}, {1, 0, 0}));
    double left = -1e9;
    double right = 1e9;
    for (const SectionStretch& s : section.stretches) {
      if (body->faces[static_cast<std::size_t>(s.face)].role != FaceRole::kBottom) continue;
      for (std::size_t i : s.point) {
        left = std::max(left, section.points[i].p.y);
        right = std::min(right, section.points[i].p.y);
      }
    }
    CHECK(std::abs(left - pair->left.y) < 1e-6);
    CHECK(std::abs(right - pair->right.y) < 1e-6);
  }
}

TEST_CASE("no change asked is no change made", "[last][grade]") {
  const StandingLast& last = demo_standing();
  const Result<Fit> fit =
      fit_targets(last.body, last.landmarks, identity_map(demo_frame()), targets_after(0, 0, 0, 0, 0));
  REQUIRE(fit.ok());
  for (const MeshNode& n : last.body.mesh.nodes) CHECK(distance(fit->map(n.point), n.point) < 1e-4);
}

TEST_CASE("a folded map is refused with its station, although a surface could be fitted to it",
          "[last][gate]") {
  const StandingLast& last = demo_standing();
  const AxisMap prior = identity_map(demo_frame());
  AxisMap folded = prior;
  folded.height.coefficients[6] = -0.6;
  folded.height.coefficients[7] = -0.6;
  const std::vector<LastLine> lines = last_lines(last.body, last.standing);
  CHECK(judge(prior, prior, last.body, lines).failures.empty());
  const Soundness s = judge(folded, prior, last.body, lines);
  REQUIRE_FALSE(s.failures.empty());
  CHECK(s.least_factor < 0.0);
  CHECK(s.failures.front().message.find("folds") != std::string::npos);
  CHECK(s.least_factor_at > 0.3);
  CHECK(s.least_factor_at < 0.7);
  CHECK(s.failures.front().message.find("rule of the") == std::string::npos);
  // Rules of its own that move it are named among what can be changed.
  folded.heel_lift = 40.0;
  folded.toe_lift = -3.0;
  const std::string advice = judge(folded, prior, last.body, lines).failures.front().message;
  CHECK(advice.find("the rule of the heel height, which moves it by +40.0 mm") != std::string::npos);
  CHECK(advice.find("the rule of the toe spring, which moves it by -3.0 mm") != std::string::npos);
}

TEST_CASE("a wave counts by how far it bows a line", "[last][gate]") {
  // An arc of radius 80 with a sine of period p and height a on it: the sine's own curvature is
  // a (2 pi / p)^2, and its hollows turn the line over where that exceeds 1/80.
  const auto line = [](double a, double p) {
    std::vector<Vec3> points;
    for (double x = -40.0; x <= 40.0; x += 2.0) {
      points.push_back({x, std::sqrt(6400.0 - x * x) + a * std::cos(6.283185307179586 * x / p), 0.0});
    }
    return points;
  };
  const SoundnessLimits limits;
  const auto changes = [&](double a, double p) {
    return turns_of(line(a, p), true, limits.wave, limits.bow).size();
  };
  CHECK(changes(0.0, 20.0) == 0);
  CHECK(changes(1.0, 20.0) >= 6);  // curvature 0.099: four hollows, each 10 mm long
  CHECK(changes(0.06, 8.0) == 0);  // curvature 0.037 beats the arc's, but hollows of 4 mm bow by 0.05 mm less
  CHECK(changes(-0.5, 40.0) == 0);  // curvature 0.0123: hardly flat
}

TEST_CASE("targets that contradict each other are refused", "[last][gate]") {
  const StandingLast& last = demo_standing();
  std::vector<MeasureTarget> targets = targets_after(0, 0, 0, 0, 0);
  targets.push_back(targets[2]);
  targets.back().value += 5.0;
  const Result<Fit> fit = fit_targets(last.body, last.landmarks, identity_map(demo_frame()), targets);
  REQUIRE_FALSE(fit.ok());
  const std::string& twice = targets.back().definition.measure;
  CHECK(fit.problem().message.find(twice + " and " + twice) != std::string::npos);
}
