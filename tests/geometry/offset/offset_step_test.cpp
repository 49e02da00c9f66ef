// Steps at corners between curved edges: each edge ends on the other one's tangent at the corner, run on.
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/check/simple.hpp"
#include "geometry/offset/offset.hpp"

using namespace lastwright;

namespace {

// Where a ray from `from` along the unit vector `ahead` leaves
// the circle of a segment moved outward, found by halving.
Vec2 on_moved(const ArcSegment& s, double outward, Vec2 from, Vec2 ahead) {
  const double radius = s.radius() + (s.bulge > 0.0 ? outward : -outward);
  const auto side = [&](double t) { return distance(from + t * ahead, s.centre()) - radius; };
  double low = 0.0;
  double high = 3.0 * outward;
  for (int k = 0; k < 80; ++k) {
    const double middle = 0.5 * (low + high);
    ((side(middle) > 0.0) == (side(0.0) > 0.0) ? low : high) = middle;
  }
  return from + low * ahead;
}

}  // namespace

TEST_CASE("steps stand between curved edges whatever the corner's angle", "[offset]") {
  for (const double bow : {-0.05, -0.01, 0.01, 0.05}) {
    for (const double degrees : {40.0, 70.0, 80.0, 85.0, 89.0, 89.9}) {
      for (const double d : {0.7, 2.0, 6.0}) {
        // Two curved edges that meet at the origin; this much between their chords.
        const double angle = degrees * std::numbers::pi / 180.0;
        const ClosedArcPath path{{{{-60.0, 0.0}, bow},
                                  {{0.0, 0.0}, -bow},
                                  {60.0 * Vec2{std::cos(angle), std::sin(angle)}, 0.0},
                                  {{-60.0, 70.0}, 0.0}}};
        const ArcSegment out = path.segment(1);
        CAPTURE(bow, degrees, d);
        REQUIRE(check_simple(path).ok());
        OffsetOptions options;
        options.corners = {OffsetCorner::kMitre, OffsetCorner::kStep, OffsetCorner::kMitre,
                           OffsetCorner::kMitre};
        const Result<OffsetOutline> moved = offset(path, Millimetres(d), options);
        INFO((moved ? std::string() : to_text(moved.problem())));
        REQUIRE(moved.ok());
        const auto has = [&](Vec2 p) {
          return std::any_of(moved->path.vertices.begin(), moved->path.vertices.end(),
                             [&](const ArcVertex& v) { return distance(v.at, p) < 1e-7; });
        };
        CHECK(has({0.0, 0.0}));
        CHECK(has(on_moved(path.segment(0), d, {}, -out.start_tangent())));
        CHECK(has(on_moved(out, d, {}, path.segment(0).end_tangent())));
      }
    }
  }
}

TEST_CASE("a step that would run through the outline becomes a plain jog", "[offset]") {
  // A turn of 20 degrees to one side, and just after it 40 degrees to the other: the line of the first edge
  // meets the third.
  const ClosedArcPath path{{{{0.0, 0.0}, 0.0},
                            {{40.0, 0.0}, 0.0},
                            {{42.8, 1.0}, 0.0},
                            {{54.0, -3.0}, 0.0},
                            {{60.0, 40.0}, 0.0},
                            {{0.0, 40.0}, 0.0}}};
  REQUIRE(check_simple(path).ok());
  for (const double d : {0.5, 2.0, 4.0, 8.0, 16.0}) {
    OffsetOptions options;
    options.corner = OffsetCorner::kStep;
    const Result<OffsetOutline> out = offset(path, Millimetres(d), options);
    INFO(d << (out ? std::string() : to_text(out.problem())));
    REQUIRE(out.ok());
    for (std::size_t i = 0; i < path.size(); ++i) {
      for (const double t : {0.0, 0.1, 0.35, 0.6, 0.85}) {
        const Vec2 p = path.segment(i).point_at(t);
        CHECK((contains(out->path, p) || distance_to(out->path, p) < 1e-6));
      }
    }
  }
}
