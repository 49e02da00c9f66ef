// Lasts in forms that other programs hand over: rounded
// feather edges, saw cuts, IGES, a bottom named by hand.
#include <catch2/catch.hpp>
#include <cmath>

#include "geometry/solid/kernel/made_forms.hpp"
#include "grading/lasts/base_last.hpp"
#include "grading/lasts/feather_ring.hpp"
#include "grading/lasts/last_definitions.hpp"
#include "grading/lasts/roles.hpp"
#include "tests/last/standing_last.hpp"

using namespace lastwright;

namespace {

// Leaves in `shape` what was measured: parted along its featherline where it was not.
BaseLast measured_in_place(KernelShape& shape, const LastPoseChoice& pose = {}) {
  Result<Body> body = body_of_last(shape, pose);
  INFO((body.ok() ? "" : to_text(body.problem())));
  REQUIRE(body.ok());
  const Result<BaseLast> last = make_measured_last(std::move(*body), pose, {});
  INFO((last.ok() ? "" : to_text(last.problem())));
  REQUIRE(last.ok());
  return *last;
}

BaseLast measured(KernelShape shape, const LastPoseChoice& pose = {}) {
  return measured_in_place(shape, pose);
}

double value_of(const BaseLast& last, const std::string& measure) {
  for (std::size_t i = 0; i < last.definitions.size(); ++i) {
    if (last.definitions[i].measure == measure) return last.values[i].value;
  }
  FAIL("no measure " << measure);
  return 0.0;
}

// mm: splines as coarse as their relations allow, for the kernel's time goes with their knots.
constexpr double kCoarseFit = 0.08;

const KernelShape& coarse_shape() {
  static const KernelShape last = [] {
    DemoLast demo;
    demo.fit = kCoarseFit;
    const Result<std::string> step = write_step(make_demo_last(demo), {"coarse", ""});
    REQUIRE(step.ok());
    const Result<KernelShape> shape = read_step(*step);
    REQUIRE(shape.ok());
    return *shape;
  }();
  return last;
}

const BaseLast& whole() {
  static const BaseLast last = measured(coarse_shape());
  return last;
}

void check_alike(const BaseLast& other, double limit) {
  for (std::size_t i = 0; i < other.definitions.size(); ++i) {
    INFO(other.definitions[i].measure);
    CHECK(std::abs(other.values[i].value - whole().values[i].value) < limit);
  }
}

}  // namespace

TEST_CASE("a rounded feather edge has its featherline in the middle of the rounding", "[last][forms][slow]") {
  constexpr double kRadius = 2.0;
  const Result<KernelShape> made = kernel_with_fillet(coarse_shape(), feather_edges(whole().body), kRadius);
  REQUIRE(made.ok());
  const Result<std::string> step = kernel_step(*made, "MM");
  REQUIRE(step.ok());
  Result<KernelShape> rounded = read_step(*step);
  REQUIRE(rounded.ok());
  const BaseLast last = measured_in_place(*rounded);
  REQUIRE(last.body.notes.size() == 1);
  CHECK(last.body.notes[0].find("rounded") != std::string::npos);
  // Where bottom and wall meet square, the middle of a quarter round lies (1 - sqrt 1/2) of its radius
  // within; walls that lean bring it nearer.
  const double square = 2.0 * kRadius * (1.0 - std::sqrt(0.5));
  for (const char* width : {"tread", "seat", "waist width", "instep width"}) {
    INFO(width);
    const double lost = value_of(whole(), width) - value_of(last, width);
    CHECK(lost > 0.5 * square);
    CHECK(lost < 1.3 * square);
  }
  CHECK(value_of(last, "stick length") == Approx(value_of(whole(), "stick length")).margin(1e-3));
  CHECK(value_of(last, "toe spring") - value_of(whole(), "toe spring") < kRadius);
  // Its own file has edges along the featherline: nothing is parted again.
  const BaseLast same = measured(*rounded);
  CHECK(same.body.faces.size() == last.body.faces.size());
  CHECK(value_of(same, "tread") == Approx(value_of(last, "tread")).margin(1e-3));
}

TEST_CASE("a last sawn in two is joined where its parts meet, and refused where they do not",
          "[last][forms][slow]") {
  const Result<std::string> meet = kernel_step_in_two(coarse_shape(), 120.0, 0.0);
  REQUIRE(meet.ok());
  const Result<KernelShape> one = read_step(*meet);
  INFO((one.ok() ? "" : to_text(one.problem())));
  REQUIRE(one.ok());
  check_alike(measured(*one), kCoarseFit);
  const Result<std::string> apart = kernel_step_in_two(coarse_shape(), 120.0, 2.0);
  REQUIRE(apart.ok());
  const Result<KernelShape> two = read_step(*apart);
  REQUIRE_FALSE(two.ok());
  CHECK(two.problem().message.find("parts that do not meet") != std::string::npos);
}

TEST_CASE("an IGES file of a last measures as its STEP file", "[last][forms]") {
  const Result<std::string> iges = kernel_iges(coarse_shape());
  REQUIRE(iges.ok());
  const Result<KernelShape> shape = read_iges(*iges);
  INFO((shape.ok() ? "" : to_text(shape.problem())));
  REQUIRE(shape.ok());
  check_alike(measured(*shape), kCoarseFit);
  CHECK_FALSE(read_iges(iges->substr(0, iges->size() / 3)).ok());
}

TEST_CASE("a bottom named by hand is the bottom, and a face that is not there is refused", "[last][forms]") {
  LastPoseChoice pose;
  for (std::size_t f = 0; f < whole().body.faces.size(); ++f) {
    if (whole().body.faces[f].role == FaceRole::kBottom) pose.bottom.push_back(static_cast<int>(f));
  }
  REQUIRE(pose.bottom.size() == 1);
  check_alike(measured(coarse_shape(), pose), 1e-3);
  KernelShape shape = coarse_shape();
  CHECK_FALSE(body_of_last(shape, {{}, "", {99}}).ok());
  // The upper named as the bottom makes another last, or none: never this one.
  Result<Body> wrong = body_of_last(shape, {{}, "", {pose.bottom[0] == 0 ? 1 : 0}});
  REQUIRE(wrong.ok());
  const Result<BaseLast> last = make_measured_last(std::move(*wrong), {{}, "x,z", {}}, {});
  CHECK((!last.ok() || std::abs(value_of(*last, "tread") - value_of(whole(), "tread")) > 0.5));
}

TEST_CASE("a featherline that winds is drawn straighter, and one that does not is left as it is",
          "[last][forms]") {
  // An oval of 280 by 90 mm with a corner at its toe, points 1.5 mm apart.
  std::vector<RingPoint> oval;
  const auto add = [&oval](double x, double side) {
    const double t = x / 140.0;
    const Vec3 p{x, side * 45.0 * (x < 0.0 ? std::sqrt(1.0 - t * t) : 1.0 - t * t), 0};
    if (oval.empty() || distance(oval.back().p, p) >= 1.5) oval.push_back({p, {0, 0, -1}});
  };
  for (int i = -14000; i <= 14000; ++i) add(0.01 * i, 1.0);
  for (int i = 14000; i > -14000; --i) add(0.01 * i, -1.0);
  std::vector<RingPoint> same = oval;
  straighten(same);
  REQUIRE(same.size() == oval.size());
  double off = 0.0;
  for (std::size_t i = 0; i < oval.size(); ++i) off = std::max(off, distance(same[i].p, oval[i].p));
  CHECK(off == 0.0);

  std::vector<RingPoint> winding = oval;
  for (std::size_t i = 60; i < 90; ++i)
    winding[i].p += Vec3{i % 3 == 0 ? -2.0 : 0.0, i % 2 == 0 ? 0.6 : -0.6, 0};
  straighten(winding);
  CHECK(winding.size() > oval.size() - 30);
  double worst = 0.0;
  double length = 0.0;
  for (std::size_t i = 0; i < winding.size(); ++i) {
    double nearest = 1e9;
    for (const RingPoint& q : oval) nearest = std::min(nearest, distance(q.p, winding[i].p));
    worst = std::max(worst, nearest);
    length += distance(winding[i].p, winding[(i + 1) % winding.size()].p);
  }
  double exact = 0.0;
  for (std::size_t i = 0; i < oval.size(); ++i) exact += distance(oval[i].p, oval[(i + 1) % oval.size()].p);
  CHECK(worst < 1.5);
  CHECK(length == Approx(exact).margin(4.0));  // wound, it was 60 mm longer
}
