#include "geometry/check/simple.hpp"

#include <catch2/catch.hpp>
#include <chrono>
#include <numbers>

using namespace lastwright;
using Catch::Detail::Approx;

namespace {

// A wavy ring of `count` arcs around the origin, tangent continuous nowhere.
ClosedArcPath ring(int count) {
  ClosedArcPath path;
  for (int i = 0; i < count; ++i) {
    const double angle = 2 * std::numbers::pi * i / count;
    const double r = 100 + 12 * std::sin(5 * angle);
    path.vertices.push_back({{2.5 * r * std::cos(angle), r * std::sin(angle)},
                             i % 3 == 0   ? 0.1
                             : i % 3 == 1 ? 0.0
                                          : -0.05});
  }
  return path;
}

}  // namespace

TEST_CASE("good outlines pass", "[simple]") {
  CHECK(check_simple({{{{-1, 0}, 1.0}, {{1, 0}, 1.0}}}).ok());                  // a circle
  CHECK(check_simple({{{{0, 0}, 0.0}, {{10, 0}, 0.0}, {{10, 5}, 0.0}}}).ok());  // a triangle
  CHECK(check_simple({{{{0, 0}, 0.4}, {{10, 0}, -0.2}}}).ok());                 // a crescent
  CHECK(check_simple(ring(100)).ok());
  CHECK_FALSE(check_simple(reversed(ring(100))).ok());
  SimpleOptions either;
  either.counter_clockwise = false;
  CHECK(check_simple(reversed(ring(100)), either).ok());
}

TEST_CASE("what is wrong is found and placed", "[simple]") {
  struct Case {
    const char* name;
    ClosedArcPath path;
    Vec2 at;
  };
  const Case cases[] = {
      {"bow tie", {{{{0, 0}, 0}, {{10, 10}, 0}, {{10, 0}, 0}, {{0, 10}, 0}}}, {5, 5}},
      {"arc bulging through the far side",
       {{{{0, 0}, -0.9}, {{10, 0}, 0}, {{10, 4}, 0}, {{0, 4}, 0}}},
       {5, 4}},
      {"arc touching the far side", {{{{0, 0}, -0.8}, {{10, 0}, 0}, {{10, 4}, 0}, {{0, 4}, 0}}}, {5, 4}},
      {"vertex on an arc", {{{{0, 0}, 0}, {{20, 0}, 0}, {{20, 9}, 0}, {{10, -5}, 0}, {{0, 9}, 0}}}, {10, 0}},
      {"spike", {{{{0, 0}, 0}, {{20, 0}, 0}, {{20, 10}, 0}, {{-5, 10}, 0}, {{0, 10}, 0}}}, {-5, 10}},
      {"arc that folds back",
       {{{{0, 0}, 0}, {{20, 0}, 0}, {{20, 10}, 1.0}, {{20, 30}, -1.0}, {{20, 14}, 0}, {{0, 10}, 0}}},
       {20, 30}},
      {"neighbour crosses twice", {{{{0, 0}, -1.0}, {{10, 0}, 0}, {{-6, 3}, 0}}}, {5, 3}},
      {"lens of nothing", {{{{0, 0}, 0.3}, {{10, 0}, -0.3}}}, {5, 0}},
  };
  for (const Case& c : cases) {
    INFO(c.name);
    const std::optional<SelfContact> contact = self_contact(c.path, Millimetres(1e-6));
    REQUIRE(contact.has_value());
    CHECK(distance(contact->at, c.at) < 10);
    CHECK_FALSE(check_simple(c.path).ok());
  }
  const std::optional<SelfContact> tie = self_contact(cases[0].path, Millimetres(1e-6));
  CHECK(distance(tie->at, {5, 5}) < 1e-12);
  CHECK(tie->one == 0);
  CHECK(tie->two == 2);
  CHECK(distance(self_contact(cases[2].path, Millimetres(1e-6))->at, {5, 4}) < 1e-3);
}

TEST_CASE("a short segment is named with its length and the limit", "[simple]") {
  SimpleOptions options;
  options.shortest = tolerance::kShortestSegment;
  const Status status = check_simple({{{{0, 0}, 0}, {{10, 0}, 0}, {{10, 0.03}, 0}, {{5, 8}, 0}}}, options);
  REQUIRE_FALSE(status.ok());
  CHECK(status.problem().value == Approx(0.03));
  CHECK(status.problem().limit == Approx(0.05));
  CHECK(check_simple({{{{0, 0}, 0}, {{10, 0}, 0}, {{10, 0.06}, 0}, {{5, 8}, 0}}}, options).ok());
}

TEST_CASE("degenerate outlines are refused", "[simple]") {
  CHECK_FALSE(check_simple({}).ok());
  CHECK_FALSE(check_simple({{{{0, 0}, 1.0}}}).ok());
  CHECK_FALSE(check_simple({{{{0, 0}, 0}, {{1, 0}, 0}, {{1, 0}, 0}, {{0, 1}, 0}}}).ok());
  CHECK_FALSE(check_simple({{{{0, 0}, 0}, {{1, std::nan("")}, 0}, {{0, 1}, 0}}}).ok());
}

TEST_CASE("timing of the check, for information", "[.timing]") {
  const ClosedArcPath path = ring(100);
  const auto begin = std::chrono::steady_clock::now();
  int good = 0;
  for (int i = 0; i < 20000; ++i) good += check_simple(path).ok();
  const double us =
      std::chrono::duration<double, std::micro>(std::chrono::steady_clock::now() - begin).count() / 20000;
  WARN("check_simple of 100 segments: " << us << " us");
  CHECK(good == 20000);
}

TEST_CASE("a spike thinner than anything is judged is found, wherever it lies and points", "[simple]") {
  for (const double turn : {0.0, 0.7, 2.1, 4.0}) {
    for (const Vec2 by : {Vec2{0, 0}, Vec2{900, -400}, Vec2{2e5, 3e5}}) {
      const auto with_spike = [&](double half) {
        ClosedArcPath path{{{{0, 0}, 0},
                            {{50, 0}, 0},
                            {{50, 30}, 0},
                            {{25 + half, 30}, 0},
                            {{25, 50}, 0},
                            {{25 - half, 30}, 0},
                            {{0, 30}, 0}}};
        for (ArcVertex& v : path.vertices) v.at = turned(v.at, turn) + by;
        return path;
      };
      CAPTURE(turn, by.x);
      // 20 mm high: 1e-5 rad are 0.0002 mm at its foot.
      for (const double half : {0.00005, 0.0001, 0.0004}) CHECK_FALSE(check_simple(with_spike(half)).ok());
      for (const double half : {0.0006, 0.01, 1.0}) CHECK(check_simple(with_spike(half)).ok());
    }
  }
}
