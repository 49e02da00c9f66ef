// Kinks of an outline that is nearly smooth: the moved
// edges run along each other there, nearer than rounding.
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/check/simple.hpp"
#include "geometry/offset/offset.hpp"

using namespace lastwright;

namespace {

// A tight bend of arcs runs into a long straight edge with a hollow kink, as
// at the vamp point of a quarter. Small notches elsewhere are used up by any
// distance, inward or outward, so that the winding rule decides everywhere.
ClosedArcPath bend_into_line(double kink, double radius, double sweep) {
  ClosedArcPath path{{{{-60.0, -40.0}, 0.0},
                      {{-40.0, -40.0}, 1.0},
                      {{-39.0, -40.0}, 0.0},
                      {{-20.0, -40.0}, -1.0},
                      {{-19.0, -40.0}, 0.0}}};
  Vec2 at{0.0, -40.0};
  Vec2 along{1.0, 0.0};
  const auto turn = [&](double angle) { along = std::cos(angle) * along + std::sin(angle) * left_of(along); };
  for (int k = 0; k < 4; ++k) {
    path.vertices.push_back({at, std::tan(sweep / 4.0)});
    turn(0.5 * sweep);
    at += 2.0 * radius * std::sin(0.5 * sweep) * along;
    turn(0.5 * sweep);
  }
  turn(-kink);
  path.vertices.push_back({at, 0.0});
  path.vertices.push_back({at + 78.0 * along, 0.0});
  path.vertices.push_back({{-80.0, 30.0}, 0.0});
  return path;
}

}  // namespace

TEST_CASE("kinks where a bend meets a straight edge never make an allowance impossible", "[offset]") {
  std::size_t made = 0;
  for (int step = 0; step <= 40; ++step) {
    const double kink = std::pow(10.0, -7.0 + 0.1 * step);
    const ClosedArcPath path = bend_into_line(kink, 5.2, 0.4);
    REQUIRE(check_simple(path).ok());
    for (const double d : {-3.0, 12.0, 45.0, 60.0, 80.0}) {
      for (const OffsetCorner form : {OffsetCorner::kMitre, OffsetCorner::kRound}) {
        OffsetOptions options;
        options.corner = form;
        options.fill_pockets = true;  // the round notch is closed over
        const Result<OffsetOutline> out = offset(path, Millimetres(d), options);
        INFO("kink " << kink << " by " << d << (out ? std::string() : to_text(out.problem())));
        REQUIRE(out.ok());
        double near = 0.0;
        double far = 0.0;
        for (std::size_t i = 0; i < out->path.size(); ++i) {
          const double off = distance_to(path, out->path.segment(i).point_at(0.4)) - std::abs(d);
          near = std::max(near, -off);
          far = std::max(far, off);
        }
        CHECK(near < 1e-5);
        if (form == OffsetCorner::kRound) CHECK(far < 1e-5);
        ++made;
      }
    }
  }
  CHECK(made == 41 * 5 * 2);
}
