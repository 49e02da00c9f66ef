// What proves where a piece lies, and that a piece which was moved is named.
#include "grading/pieces/place/place_proof.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/io/paper/plane_affine.hpp"
#include "grading/pieces/place/place_freedom.hpp"
#include "tests/support/laws.hpp"

namespace lastwright {
namespace {

constexpr double kHalfTurn = std::numbers::pi;

FormeSpec forme_of(std::vector<NamedPoint> more = {}) {
  FormeSpec forme;
  forme.name = "shell";
  forme.points = {{"heel", {0.0, 0.0}}, {"toe", {240.0, 0.0}}};
  forme.points.insert(forme.points.end(), more.begin(), more.end());
  forme.base_line = {"heel", "toe"};
  forme.fixed_point = "heel";
  return forme;
}

using Places = std::vector<Vec2>;

// A piece of polylines; each edge runs from the first place of one list to that of the next.
BoundPiece piece_of(const std::string& name, const std::vector<Places>& edges,
                    const PlaneAffine& motion = {}) {
  BoundPiece piece;
  piece.spec.name = name;
  piece.spec.forme = "shell";
  for (std::size_t e = 0; e < edges.size(); ++e) {
    Places places = edges[e];
    places.push_back(edges[(e + 1) % edges.size()].front());
    RawOutline raw;
    for (std::size_t i = 1; i < places.size(); ++i)
      raw.curves.emplace_back(Line{motion.point(places[i - 1]), motion.point(places[i])});
    BoundEdge edge{{}, *make_open_chain(std::move(raw), Millimetres(1e-6))};
    edge.spec.name = "edge " + std::to_string(e);
    edge.spec.from = "corner " + std::to_string(e);
    edge.spec.to = "corner " + std::to_string((e + 1) % edges.size());
    piece.spec.corners.push_back(
        {edge.spec.from, edge.chain.curves().empty() ? Vec2{} : motion.point(edges[e].front())});
    piece.edges.push_back(std::move(edge));
  }
  return piece;
}

std::vector<LoosePieces> loose_of(const FormeSpec& forme, const std::vector<BoundPiece>& pieces) {
  std::vector<const BoundPiece*> all;
  for (const BoundPiece& piece : pieces) all.push_back(&piece);
  const PlaceProof proof = loose_pieces(forme, all);
  CHECK(proof.complete);
  return proof.loose;
}

Places wave(double height, double bow, double length) {
  Places places;
  for (double x = 200.0; x >= 40.0; x -= 2.0)
    places.push_back({x, height + bow * std::sin(2.0 * kHalfTurn * x / length)});
  return places;
}
Places turned_round(Places places) {
  return {places.rbegin(), places.rend()};
}

// On the base line, and sewn to the next piece along a bent edge.
BoundPiece lower(const Places& seam) {
  Places below = seam;
  const Vec2 end = below.back();
  below.pop_back();
  return piece_of("lower", {{{40.0, 0.0}}, {{200.0, 0.0}}, below, {end}});
}
BoundPiece upper(const Places& seam, const PlaneAffine& motion = {}) {
  Places above = turned_round(seam);
  const Vec2 end = above.back();
  above.pop_back();
  return piece_of("upper", {above, {end}, {{180.0, 95.0}}, {{70.0, 110.0}}}, motion);
}

PlaneAffine rigid(double turn, Vec2 about, Vec2 shift) {
  PlaneAffine motion{{std::cos(turn), std::sin(turn)}, {-std::sin(turn), std::cos(turn)}, {}};
  motion.origin = about + shift - motion.point(about);
  return motion;
}

}  // namespace

TEST_CASE("a mate that is moved or turned from its seam is named, one that lies on it is not", "[place]") {
  std::size_t shifted = 0;
  test::holds_for_all("a moved piece is loose, and alone", [&] {
    const double bow = *rc::gen::inRange(6, 12);
    const double length = *rc::gen::inRange(70, 130);
    const Places seam = wave(50.0, bow, length);
    const FormeSpec forme = forme_of({{"ball", {200.0, 0.0}}, {"waist", {40.0, 0.0}}});
    RC_ASSERT(loose_of(forme, {lower(seam), upper(seam)}).empty());
    const double degrees = *rc::gen::inRange(-179, 180);
    const double way = *rc::gen::inRange(0, 360) * kHalfTurn / 180.0;
    const double by = 0.1 * *rc::gen::inRange(6, 80);
    shifted += degrees == 0.0;
    const PlaneAffine motion = rigid(*rc::gen::arbitrary<bool>() ? degrees * kHalfTurn / 180.0 : 0.0,
                                     {120.0, 80.0}, by * Vec2{std::cos(way), std::sin(way)});
    const std::vector<LoosePieces> loose = loose_of(forme, {lower(seam), upper(seam, motion)});
    RC_ASSERT(loose.size() == 1u);
    RC_ASSERT(loose.front().pieces == std::vector<std::size_t>{1});
  });
}

TEST_CASE("pieces that hold each other are one body", "[place]") {
  const Places seam = wave(50.0, 8.0, 90.0);
  const PlaneAffine off = rigid(0.2, {120.0, 60.0}, {3.0, 4.0});
  Places below = seam;
  const Vec2 end = below.back();
  below.pop_back();
  const BoundPiece moved_lower = piece_of("lower", {{{40.0, 0.0}}, {{200.0, 0.0}}, below, {end}}, off);
  const auto loose = loose_of(forme_of(), {moved_lower, upper(seam, off)});
  REQUIRE(loose.size() == 1);
  CHECK(loose.front().pieces == std::vector<std::size_t>{0, 1});
  CHECK(loose.front().held == 0);
}

TEST_CASE("an edge along the base line leaves a piece free to slide", "[place]") {
  const auto loose = loose_of(forme_of(), {lower(wave(50.0, 8.0, 90.0))});
  REQUIRE(loose.size() == 1);
  CHECK(loose.front().held == 2);
  CHECK_FALSE(loose.front().turns);
  CHECK(loose.front().motion.x == Approx(1.0));
  CHECK(loose_of(forme_of({{"waist", {40.0, 0.0}}}), {lower(wave(50.0, 8.0, 90.0))}).empty());
}

TEST_CASE("a statement proves where a piece lies", "[place]") {
  const PlaneAffine off = rigid(0.5, {120.0, 60.0}, {0.0, 30.0});
  BoundPiece piece = upper(wave(50.0, 8.0, 90.0), off);
  CHECK(loose_of(forme_of(), {piece}).size() == 1);
  BoundPiece said = piece;
  said.spec.lies = LiesSpec{.as_drawn = true, .meets = {}};
  CHECK(loose_of(forme_of(), {said}).empty());
  BoundPiece named = piece;
  named.spec.corners[0].at = std::string("heel");
  CHECK(loose_of(forme_of(), {named}).size() == 1);
  named.spec.corners[1].at = std::string("toe");
  CHECK(loose_of(forme_of(), {named}).empty());
}

TEST_CASE("a margin that stays the same along a bent edge holds a piece, along a straight one it does not",
          "[place]") {
  const auto ring = [](double radius, double flat) {
    std::vector<Places> edges(4);
    for (int k = 0; k < 240; ++k) {
      const double angle = 2.0 * kHalfTurn * k / 240.0;
      const Vec2 n{std::cos(angle), std::sin(angle)};
      // An oval set off outward by `radius` along its normals.
      edges[static_cast<std::size_t>(k / 60)].push_back(
          {120.0 + 60.0 * n.x + radius * n.x, flat * n.y + radius * n.y});
    }
    return edges;
  };
  const FormeSpec forme = forme_of({{"tip", {180.0, 0.0}}});
  BoundPiece inner = piece_of("inner", ring(0.0, 60.0));
  inner.spec.lies = LiesSpec{.as_drawn = true, .meets = {}};
  // Round pieces may turn within each other; these two are told to.
  const auto round = loose_of(forme, {inner, piece_of("outer", ring(5.0, 60.0))});
  REQUIRE(round.size() == 1);
  CHECK(round.front().held == 2);
  CHECK(round.front().turns);
  CHECK(distance(round.front().motion, Vec2{120.0, 0.0}) < 3.0);
  // A square in a square: two straight sides at right angles fix its turn alone.
  const auto box = [](double half) {
    return std::vector<Places>{
        {{120.0 - half, -half}}, {{120.0 + half, -half}}, {{120.0 + half, half}}, {{120.0 - half, half}}};
  };
  BoundPiece square = piece_of("square", box(40.0));
  square.spec.lies = LiesSpec{.as_drawn = true, .meets = {}};
  CHECK(loose_of(forme_of(), {square, piece_of("within", box(33.0))}).size() == 1);
}

TEST_CASE("more than can be looked at is not judged, and that is said", "[place]") {
  const Places seam = wave(50.0, 8.0, 90.0);
  const std::vector<BoundPiece> pieces(40, lower(seam));
  std::vector<const BoundPiece*> all;
  for (const BoundPiece& piece : pieces) all.push_back(&piece);
  PlaceProofLimits limits;
  limits.work = 10'000;
  const PlaceProof proof = loose_pieces(forme_of(), all, limits);
  CHECK_FALSE(proof.complete);
  CHECK(proof.loose.empty());
  CHECK(loose_pieces(forme_of(), all).complete);
}

TEST_CASE("the motion that is left moves nothing that is fixed", "[place]") {
  std::size_t found = 0;
  test::holds_for_all("along the motion left each fixed place keeps its coordinate", [&] {
    FixedPlaces fixed;
    std::vector<std::pair<Vec2, Vec2>> known;
    const int count = *rc::gen::inRange(1, 4);
    for (int k = 0; k < count; ++k) {
      const Vec2 at{1.0 * *rc::gen::inRange(-50, 50), 1.0 * *rc::gen::inRange(-50, 50)};
      const double way = *rc::gen::inRange(0, 180) * kHalfTurn / 180.0;
      known.emplace_back(at, Vec2{std::cos(way), std::sin(way)});
      fixed.add(at, known.back().second);
    }
    const PlaceFreedom left = freedom_left({fixed}, 50.0);
    RC_ASSERT(left.held >= 1);
    RC_ASSERT(left.held <= count);
    if (left.held != 2 || count != 2) return;
    ++found;
    for (const auto& [at, direction] : known) {
      const Vec2 moves = left.turns ? left_of(at - left.motion) : left.motion;
      RC_ASSERT(std::abs(dot(moves, direction)) <= (left.turns ? 1e-6 * (1.0 + norm(moves)) : 0.25));
    }
  });
  CHECK(found > 10);
}

}  // namespace lastwright
