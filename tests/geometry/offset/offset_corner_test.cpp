// Corner treatments on corners simple enough to know the answer, and different distances side by side.
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/offset/offset.hpp"

using namespace lastwright;
using Catch::Detail::Approx;

namespace {

const ClosedArcPath kSquare{{{{0, 0}, 0}, {{40, 0}, 0}, {{40, 40}, 0}, {{0, 40}, 0}}};

std::vector<Millimetres> mm(std::initializer_list<double> values) {
  std::vector<Millimetres> distances;
  for (double v : values) distances.emplace_back(v);
  return distances;
}

OffsetOutline built(const ClosedArcPath& path, std::initializer_list<double> distances, OffsetCorner form) {
  OffsetOptions options;
  options.corner = form;
  const Result<OffsetOutline> result = offset(path, mm(distances), options);
  REQUIRE(result.ok());
  return *result;
}

bool has_vertex(const ClosedArcPath& path, Vec2 p) {
  return std::any_of(path.vertices.begin(), path.vertices.end(),
                     [&](const ArcVertex& v) { return distance(v.at, p) < 1e-9; });
}

}  // namespace

TEST_CASE("a square grows by the formula of each treatment", "[offset]") {
  const double d = 5.0;
  CHECK(signed_area(built(kSquare, {d, d, d, d}, OffsetCorner::kMitre).path) == Approx(50.0 * 50.0));
  CHECK(signed_area(built(kSquare, {d, d, d, d}, OffsetCorner::kRound).path) ==
        Approx(40.0 * 40 + 4 * 40 * d + std::numbers::pi * d * d));
  CHECK(signed_area(built(kSquare, {d, d, d, d}, OffsetCorner::kStep).path) ==
        Approx(40.0 * 40 + 4 * 40 * d));
  // The cut takes a right-angled triangle of height d (sqrt 2 - 1) off each tip.
  const double height = d * (std::sqrt(2.0) - 1);
  CHECK(signed_area(built(kSquare, {d, d, d, d}, OffsetCorner::kSquare).path) ==
        Approx(50.0 * 50 - 4 * height * height));
}

TEST_CASE("each edge has its own distance", "[offset]") {
  const OffsetOutline mitre = built(kSquare, {3, 0, 10, 1}, OffsetCorner::kMitre);
  CHECK(mitre.path.size() == 4);
  for (Vec2 p : {Vec2{-1, -3}, Vec2{40, -3}, Vec2{40, 50}, Vec2{-1, 50}}) CHECK(has_vertex(mitre.path, p));
  const OffsetOutline step = built(kSquare, {3, 0, 10, 1}, OffsetCorner::kStep);
  // Where both have an allowance the outline steps back to the corner itself.
  for (Vec2 p :
       {Vec2{0, 0}, Vec2{0, -3}, Vec2{-1, 0}, Vec2{40, 50}, Vec2{0, 50}, Vec2{0, 40}, Vec2{-1, 40}}) {
    CHECK(has_vertex(step.path, p));
  }
  // Inward, mixed and none.
  const OffsetOutline mixed = built(kSquare, {5, -3, 0, -2}, OffsetCorner::kMitre);
  for (Vec2 p : {Vec2{2, -5}, Vec2{37, -5}, Vec2{37, 40}, Vec2{2, 40}}) CHECK(has_vertex(mixed.path, p));
  CHECK(mixed.path.size() == 4);
}

TEST_CASE("no distance leaves the outline as it is", "[offset]") {
  const ClosedArcPath bowed{{{{0, 0}, 0.3}, {{40, 0}, 0}, {{40, 40}, -0.2}, {{0, 40}, 0}}};
  const OffsetOutline same = built(bowed, {0, 0, 0, 0}, OffsetCorner::kMitre);
  CHECK(same.path.vertices == bowed.vertices);
  for (std::uint32_t i = 0; i < 4; ++i) CHECK(same.source[i] == OffsetSource{i, false});
}

TEST_CASE("smooth edges of different distances are joined by a jog along their common normal", "[offset]") {
  // A long edge in two halves, the second with more allowance.
  const ClosedArcPath split{{{{0, 0}, 0}, {{20, 0}, 0}, {{40, 0}, 0}, {{40, 40}, 0}, {{0, 40}, 0}}};
  const OffsetOutline jog = built(split, {2, 6, 2, 2, 2}, OffsetCorner::kMitre);
  CHECK(has_vertex(jog.path, {20, -2}));
  CHECK(has_vertex(jog.path, {20, -6}));
  CHECK(signed_area(jog.path) == Approx(44.0 * 44 + 4 * 22));
}

TEST_CASE("a mitre beyond its limit is cut off there", "[offset]") {
  // A point of about 22.6 degrees: the mitre would reach 5.1 times the distance.
  const ClosedArcPath wedge{{{{0, -10}, 0}, {{50, 0}, 0}, {{0, 10}, 0}}};
  const OffsetOutline cut = built(wedge, {4, 4, 4}, OffsetCorner::kMitre);
  double furthest = -1e9;
  for (const ArcVertex& v : cut.path.vertices) furthest = std::max(furthest, v.at.x);
  CHECK(furthest == Approx(66.0));
  OffsetOptions far;
  far.mitre_limit = 10.0;
  const Result<OffsetOutline> sharp = offset(wedge, Millimetres(4.0), far);
  CHECK(bounds(sharp->path).high.x == Approx(50 + 4 / std::sin(std::atan(0.2))));
}

TEST_CASE("every vertex may have its own treatment", "[offset]") {
  OffsetOptions options;
  options.corners = {OffsetCorner::kMitre, OffsetCorner::kRound, OffsetCorner::kSquare, OffsetCorner::kStep};
  const Result<OffsetOutline> result = offset(kSquare, Millimetres(5.0), options);
  REQUIRE(result.ok());
  const double triangle = 25 * (std::sqrt(2.0) - 1) * (std::sqrt(2.0) - 1);
  CHECK(signed_area(result->path) ==
        Approx(1600 + 4 * 200 + 25 + 25 * std::numbers::pi / 4 + (25 - triangle)));
}

TEST_CASE("arcs become concentric arcs, hollow ones vanish when their radius is used up", "[offset]") {
  const ClosedArcPath notch{
      {{{0, 0}, 0}, {{60, 0}, 0}, {{60, 40}, 0}, {{36, 40}, -1.0}, {{24, 40}, 0}, {{0, 40}, 0}}};
  const OffsetOutline four = built(notch, {4, 4, 4, 4, 4, 4}, OffsetCorner::kMitre);
  bool concentric = false;
  for (std::size_t i = 0; i < four.path.size(); ++i) {
    const ArcSegment s = four.path.segment(i);
    concentric = concentric || (!s.straight() && std::abs(s.radius() - 2.0) < 1e-12 &&
                                distance(s.centre(), {30, 40}) < 1e-12);
  }
  CHECK(concentric);
  OffsetOptions filling;
  filling.fill_pockets = true;
  CHECK_FALSE(offset(notch, Millimetres(7.0)).ok());
  const Result<OffsetOutline> seven = offset(notch, Millimetres(7.0), filling);
  REQUIRE(seven.ok());
  CHECK(signed_area(seven->path) == Approx(74.0 * 54.0));
  CHECK(std::none_of(seven->path.vertices.begin(), seven->path.vertices.end(),
                     [](const ArcVertex& v) { return v.bulge != 0; }));
}

TEST_CASE("what is asked for nonsense is refused", "[offset]") {
  CHECK_FALSE(offset(kSquare, Millimetres(std::nan(""))).ok());
  CHECK_FALSE(offset(ClosedArcPath{}, Millimetres(1.0)).ok());
  CHECK_THROWS_AS(offset(kSquare, mm({1.0, 2.0})), InvariantBroken);
}
