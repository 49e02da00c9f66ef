// Hollow corners and steps between different distances, on outlines simple enough to know the answer.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/check/simple.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/offset_cases.hpp"

using namespace lastwright;

namespace {

constexpr OffsetCorner kHollowForms[] = {OffsetCorner::kMitre, OffsetCorner::kFull, OffsetCorner::kSquare,
                                         OffsetCorner::kStep, OffsetCorner::kRound};

std::vector<Millimetres> distances_of(std::initializer_list<double> values) {
  std::vector<Millimetres> distances;
  for (double v : values) distances.emplace_back(v);
  return distances;
}

bool has_corner(const ClosedArcPath& path, Vec2 p) {
  return std::any_of(path.vertices.begin(), path.vertices.end(),
                     [&](const ArcVertex& v) { return distance(v.at, p) < 1e-6; });
}

// Along y = 0 to a corner at (60, 0), from which the next edge leads off at so many degrees to the right.
ClosedArcPath hollow(double degrees, double bulge = 0.0) {
  const double angle = degrees * std::numbers::pi / 180.0;
  const Vec2 end = Vec2{60.0, 0.0} + 80.0 * Vec2{std::cos(angle), -std::sin(angle)};
  return {{{{0, 0}, 0}, {{60, 0}, bulge}, {end, 0}, {{200, end.y}, 0}, {{200, 60}, 0}, {{0, 60}, 0}}};
}

OffsetOutline hollow_built(const ClosedArcPath& path, const std::vector<Millimetres>& distances,
                           OffsetCorner form) {
  const test::OffsetCase c{path, distances, std::vector<OffsetCorner>(path.size(), form)};
  const Result<OffsetOutline> out = c.offset(false);
  INFO((out ? std::string() : to_text(out.problem())));
  REQUIRE(out.ok());
  CHECK(check_simple(out->path, {Millimetres(1e-9), Millimetres(0.0), true}).ok());
  const Result<OffsetOutline> other = mirrored(c).offset(false);
  REQUIRE(other.ok());
  CHECK(test::apart(out->path, test::mirrored(other->path)) < 1e-6);
  return *out;
}

}  // namespace

TEST_CASE("hollow corners that turn enough are mitred whatever the distances, but for steps", "[offset]") {
  for (const OffsetCorner form : kHollowForms) {
    for (const double degrees : {30.0, 45.0, 70.0, 90.0, 120.0}) {
      for (const auto& [in, out] :
           {std::pair{16.0, 0.0}, {0.0, 16.0}, {16.0, 4.0}, {4.0, 16.0}, {8.0, 8.0}, {18.0, 17.0}}) {
        CAPTURE(static_cast<int>(form), degrees, in, out);
        const double angle = degrees * std::numbers::pi / 180.0;
        // Where the two lines meet, with both as equations.
        const double x = 60.0 + (in * std::cos(angle) - out) / std::sin(angle);
        const OffsetOutline result = hollow_built(hollow(degrees), distances_of({in, out, 1, 1, 1, 1}), form);
        const bool overshoots = std::min(in, out) < std::max(in, out) * std::cos(angle);
        if (form == OffsetCorner::kStep && overshoots) {
          // Each ends square to its own end of the edge.
          const Vec2 square =
              in > out ? Vec2{60.0, -in} : Vec2{60.0 - out * std::sin(angle), -out * std::cos(angle)};
          CHECK(has_corner(result.path, square));
          continue;
        }
        CHECK(has_corner(result.path, {x, -in}));
        if (degrees < 90.0 && in > out) CHECK_FALSE(has_corner(result.path, {60.0, -in}));
      }
    }
  }
}

TEST_CASE("a wider edge runs on to a curved one", "[offset]") {
  for (const double bulge : {-0.2, -0.05, 0.05, 0.2}) {
    const ClosedArcPath path = hollow(45.0, bulge);
    const ArcSegment next = path.segment(1);
    for (const double narrow : {0.0, 1.5, 4.0}) {
      CAPTURE(bulge, narrow);
      const OffsetOutline result =
          hollow_built(path, distances_of({16, narrow, 1, 1, 1, 1}), OffsetCorner::kFull);
      // Some vertex on the wide line lies at the narrow
      // distance from the arc, or the run has ended in a step.
      const auto on_wide = [&](const ArcVertex& v) {
        return std::abs(v.at.y + 16.0) < 1e-6 && v.at.x > 60.0;
      };
      const auto tip = std::find_if(result.path.vertices.begin(), result.path.vertices.end(), on_wide);
      REQUIRE(tip != result.path.vertices.end());
      CHECK((std::abs(next.distance_to(tip->at) - narrow) < 1e-6 || tip->at.x < 60.0 + 32.0 + 1e-6));
    }
  }
}

TEST_CASE("a wider edge runs on to a narrower one that bends away under its end", "[offset]") {
  // A turn of 45 degrees to the right: 12 mm along a straight edge would cover the end of 16 mm at (60, -16).
  const double s = std::sqrt(0.5);
  for (const double radius : {20.0, 60.0, 80.0}) {
    const Vec2 centre = Vec2{60.0, 0.0} + radius * Vec2{s, s};
    const Vec2 down = centre - Vec2{0.0, radius};
    const ArcSegment arc = arc_from_tangent({60.0, 0.0}, {s, -s}, down);
    const ClosedArcPath path{
        {{{0, 0}, 0}, {{60, 0}, arc.bulge}, {down, 0}, {{200, down.y}, 0}, {{200, 60}, 0}, {{0, 60}, 0}}};
    // Where y = -16 meets the moved arc.
    const double up = centre.y + 16.0;
    const double x = centre.x - std::sqrt((radius + 12.0) * (radius + 12.0) - up * up);
    const test::OffsetCase c{path, distances_of({16, 12, 12, 1, 1, 1}),
                             std::vector<OffsetCorner>(path.size(), OffsetCorner::kFull)};
    for (const int parts : {1, 2, 9, 60}) {
      CAPTURE(radius, parts);
      const test::OffsetCase in_parts = split(c, {1, parts, 1, 1, 1, 1});
      const OffsetOutline result = hollow_built(in_parts.path, in_parts.distances, OffsetCorner::kFull);
      CHECK(has_corner(result.path, {x, -16.0}));
      CHECK_FALSE(has_corner(result.path, {60.0, -16.0}));
    }
  }
}

TEST_CASE("more beside a hollow corner and a bend covers what less covers", "[offset]") {
  // A slight hollow turn into an arc that bends on towards
  // the end of the wider edge and beyond a right angle.
  for (const double bulge : {-0.1, -0.3, -0.5}) {
    const ClosedArcPath path{{{{0, 0}, 0},
                              {{60, 0}, bulge},
                              {{64.8, -21.8}, 0},
                              {{92, -17.5}, 0},
                              {{200, -17}, 0},
                              {{200, 60}, 0},
                              {{0, 60}, 0}}};
    OffsetOutline less = hollow_built(path, distances_of({12, 0, 5, 1, 1, 1, 1}), OffsetCorner::kRound);
    for (const double more : {0.1, 0.5, 1.0, 2.0}) {
      CAPTURE(bulge, more);
      const OffsetOutline result = hollow_built(
          path, distances_of({12 + more, more, 5 + more, 1 + more, 1 + more, 1 + more, 1 + more}),
          OffsetCorner::kRound);
      for (std::size_t i = 0; i < less.path.size(); ++i) {
        const Vec2 p = less.path.segment(i).point_at(0.5);
        CHECK((contains(result.path, p) || distance_to(result.path, p) < 1e-6));
      }
      less = result;
    }
  }
}

TEST_CASE("the closer a hollow corner comes to straight on, the less the wider edge runs on", "[offset]") {
  double last = 1e9;
  for (const double degrees : {20.0, 18.0, 16.0, 14.0, 12.0, 11.5, 5.0, 1.0, 0.1, 0.001}) {
    const OffsetOutline result =
        hollow_built(hollow(degrees), distances_of({10, 2, 1, 1, 1, 1}), OffsetCorner::kFull);
    double reach = 0.0;
    for (const ArcVertex& v : result.path.vertices) {
      if (std::abs(v.at.y + 10.0) < 1e-6) reach = std::max(reach, v.at.x - 60.0);
    }
    CAPTURE(degrees, reach);
    CHECK((reach < last || last == 0.0));
    CHECK(reach <= 17.5);
    if (degrees < 11.53) CHECK(reach == 0.0);
    last = reach;
  }
  CHECK(last == 0.0);
}

TEST_CASE("beside a corner that is nearly straight each edge keeps its own distance, in one part or in many",
          "[offset][random]") {
  int uneven = 0;
  test::holds_for_all("no wider line runs on beside an edge", [&] {
    const double degrees = *rc::gen::inRange(-3000, 3001) / 100.0;  // above 0: hollow
    const double in = *rc::gen::element(0.0, 1.5, 3.0, 4.0, 8.0, 17.0);
    const double out = *rc::gen::element(0.0, 1.5, 3.0, 4.0, 8.0, 17.0);
    const OffsetCorner form =
        *rc::gen::elementOf(std::vector<OffsetCorner>(std::begin(kHollowForms), std::end(kHollowForms)));
    RC_LOG() << degrees << " degrees, " << in << " and " << out << ", form " << static_cast<int>(form)
             << "\n";
    const ClosedArcPath path = hollow(degrees);
    const test::OffsetCase c{path, distances_of({in, out, 1, 1, 1, 1}),
                             std::vector<OffsetCorner>(path.size(), form)};
    const Result<OffsetOutline> whole = c.offset(false);
    RC_ASSERT(whole.ok());
    uneven += in != out;
    // As far as the wider one leans over, square to its end, and runs on where it does.
    const double wide = std::max(in, out);
    const bool runs = degrees > 11.5 && form != OffsetCorner::kStep;
    const double beyond =
        wide * std::sin(std::abs(degrees) * std::numbers::pi / 180.0) + (runs ? 1.75 * wide : 0.0);
    for (std::size_t e = 0; e < 2; ++e) {
      const ArcSegment edge = path.segment(e);
      const Vec2 outward = -1.0 * left_of(edge.start_tangent());
      for (double s = beyond + 0.01; s < edge.length() - 20.0; s += 1.0) {
        const Vec2 p = edge.point_at(e == 0 ? 1.0 - s / edge.length() : s / edge.length());
        RC_ASSERT_FALSE(contains(whole->path, p + ((e == 0 ? in : out) + 1e-4) * outward));
      }
    }
    const Result<OffsetOutline> parts =
        split(c, {*rc::gen::inRange(1, 9), *rc::gen::inRange(1, 9), 1, 1, 1, 1}).offset(false);
    RC_ASSERT(parts.ok());
    RC_ASSERT(test::apart(whole->path, parts->path) < 1e-6);
  });
  CHECK(uneven > 50);
}

TEST_CASE("in full a wider distance holds to the end of its edge and steps down square", "[offset]") {
  // A turn of 60 degrees to the left at (60, 0), 10 against 2: a mitre would cut the wide edge short by 3.46.
  const Vec2 along{std::cos(std::numbers::pi / 3.0), std::sin(std::numbers::pi / 3.0)};
  const ClosedArcPath path{{{{0, 0}, 0}, {{60, 0}, 0}, {Vec2{60, 0} + 50.0 * along, 0}, {{0, 43}, 0}}};
  const OffsetOutline full = hollow_built(path, distances_of({10, 2, 1, 1}), OffsetCorner::kFull);
  CHECK(has_corner(full.path, {60.0, -10.0}));
  CHECK(has_corner(full.path, {60.0, -4.0}));  // 2 / cos 60
  const OffsetOutline mitre = hollow_built(path, distances_of({10, 2, 1, 1}), OffsetCorner::kMitre);
  CHECK(has_corner(mitre.path, {60.0 - (10.0 * 0.5 - 2.0) / std::sin(std::numbers::pi / 3.0), -10.0}));
  // Against nothing it steps down to the corner itself.
  CHECK(has_corner(hollow_built(path, distances_of({10, 0, 1, 1}), OffsetCorner::kFull).path, {60.0, 0.0}));
  // Where a mitre takes nothing from either edge it is one.
  const OffsetOutline even = hollow_built(path, distances_of({10, 6, 1, 1}), OffsetCorner::kFull);
  CHECK(has_corner(even.path, {60.0 + (6.0 - 5.0) / std::sin(std::numbers::pi / 3.0), -10.0}));
}

TEST_CASE("a mitre that would cut a wider edge too far back steps down square to it", "[offset]") {
  for (const double degrees : {2.0, 5.0, 8.0}) {
    const double turn = degrees * std::numbers::pi / 180.0;
    const Vec2 end = Vec2{400.0, 0.0} + 400.0 * Vec2{std::cos(turn), std::sin(turn)};
    const ClosedArcPath path{{{{0, 0}, 0}, {{400, 0}, 0}, {end, 0}, {{0, 200}, 0}}};
    const OffsetOutline mitre = hollow_built(path, distances_of({10, 2, 1, 1}), OffsetCorner::kMitre);
    const double back = 16.0 * std::sin(turn) * 10.0;  // the limit squared
    REQUIRE(back < (10.0 * std::cos(turn) - 2.0) / std::sin(turn));
    CAPTURE(degrees, back);
    CHECK(has_corner(mitre.path, {400.0 - back, -10.0}));
    CHECK(has_corner(mitre.path, {400.0 - back, -(2.0 + back * std::sin(turn)) / std::cos(turn)}));
  }
}

TEST_CASE("round between different distances ends on the narrower line without a beak", "[offset]") {
  const ClosedArcPath box{{{{0, 0}, 0}, {{60, 0}, 0}, {{60, 40}, 0}, {{0, 40}, 0}}};
  const OffsetOutline round = hollow_built(box, distances_of({10, 6, 0, 0}), OffsetCorner::kRound);
  CHECK(has_corner(round.path, {60.0, -10.0}));
  CHECK(has_corner(round.path, {66.0, -8.0}));  // 6, 8, 10
  CHECK(bounds(round.path).high.x == Approx(66.0));
  for (std::size_t i = 0; i < round.path.size(); ++i) {
    const ArcSegment s = round.path.segment(i);
    if (!s.straight()) CHECK(distance(s.point_at(0.4), {60, 0}) == Approx(10.0));
  }
}

TEST_CASE("steps of corners that turn little become flatter and vanish", "[offset]") {
  double last = 1e9;
  for (const double degrees : {60.0, 30.0, 25.0, 20.0, 16.0, 14.0}) {
    const double angle = degrees * std::numbers::pi / 180.0;
    const Vec2 end = Vec2{60, 0} + 50.0 * Vec2{std::cos(angle), std::sin(angle)};
    const ClosedArcPath path{{{{0, 0}, 0}, {{60, 0}, 0}, {end, 0}, {{0, 60}, 0}}};
    const test::OffsetCase c{
        path,
        distances_of({4, 4, 0, 0}),
        {OffsetCorner::kFull, OffsetCorner::kStep, OffsetCorner::kFull, OffsetCorner::kFull}};
    const Result<OffsetOutline> out = c.offset();
    REQUIRE(out.ok());
    const double depth = 4.0 / std::cos(0.5 * angle) - distance_to(out->path, {60, 0});
    CAPTURE(degrees, depth);
    if (degrees >= 30.0) CHECK(has_corner(out->path, {60, 0}));
    CHECK(depth <= last + 1e-9);
    last = depth;
  }
  CHECK(last < 0.1);
}

TEST_CASE("a distance far beyond the outline's own size is refused at once", "[offset]") {
  const ClosedArcPath box{{{{0, 0}, 0}, {{60, 0}, 0}, {{60, 40}, 0}, {{0, 40}, 0}}};
  const Result<OffsetOutline> huge = offset(box, Millimetres(2147483647.0));
  REQUIRE_FALSE(huge.ok());
  CHECK(huge.problem().message.find("ten times") != std::string::npos);
  REQUIRE(huge.problem().limit.has_value());
  CHECK(offset(box, Millimetres(*huge.problem().limit)).ok());
  CHECK(*huge.problem().limit > 0.99 * widest_offset(box).value());
}

// The narrower edge is shorter than the wide line could run on, so what follows it is looked at as far as the
// wide edge itself, whose other end lies level with the corner, as rounding has it above or below.
TEST_CASE("a wide line runs on as far however its outline lies, also over a short edge", "[offset]") {
  const test::OffsetCase c{{{{{70, 20}, 0},
                             {{4, 20}, 0},
                             {{-21, 23}, -0.1},
                             {{-25, -12}, 0},
                             {{-14, -18}, 0.35},
                             {{65, -38}, -0.5}}},
                           distances_of({18, 1.5, 1.5, 8, 0, 18}),
                           std::vector<OffsetCorner>(6, OffsetCorner::kFull)};
  const Result<OffsetOutline> out = c.offset(false);
  REQUIRE(out.ok());
  for (int turn = 1; turn < 40; ++turn) {
    CAPTURE(turn);
    const double angle = 0.157 * turn;
    const Result<OffsetOutline> other = moved(c, angle, {3.0, -5.0}).offset(false);
    REQUIRE(other.ok());
    const test::OffsetCase expected = test::moved({out->path, {}, {}}, angle, {3.0, -5.0});
    CHECK(test::apart(expected.path, other->path) < 1e-4);
  }
}
