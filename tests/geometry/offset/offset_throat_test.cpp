// Throats whose sides are chains of curves, drawn half and unfolded through a fold of any slant.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "tests/support/laws.hpp"
#include "tests/support/offset_cases.hpp"

using namespace lastwright;

namespace {

// One side, from its foot on the fold (square to it) to its end at the mouth: half the mouth is how far it
// comes away from the fold, in proportion to (way along the fold / depth) to the power of `bow`.
struct Throat {
  double half_mouth;
  double depth;
  double bow;
  int arcs;
  double shoulder_turn;  // degrees by which the edge beyond the mouth falls away
  double lean = 0.0;     // of the fold, radians
};

// The fold along +x; the side lies to the left of it. Each arc goes on in the direction of the one before.
std::vector<ArcVertex> side_of_throat(const Throat& throat) {
  std::vector<ArcVertex> side{{{0, 0}, 0}};
  Vec2 direction{0, 1};
  for (int i = 1; i <= throat.arcs; ++i) {
    const double t = double(i) / throat.arcs;
    const Vec2 to{throat.depth * t, throat.half_mouth * std::pow(t, throat.bow)};
    const ArcSegment arc = arc_from_tangent(side.back().at, direction, to);
    side.back().bulge = arc.bulge;
    direction = arc.end_tangent();
    side.push_back({to, 0});
  }
  return side;
}

struct ThroatOutline {
  ClosedArcPath path;
  std::size_t sides = 0;  // the first so many segments are the sides
};

ThroatOutline unfolded(const Throat& throat) {
  const std::vector<ArcVertex> side = side_of_throat(throat);
  const Vec2 mouth = side.back().at;
  const double fall = throat.shoulder_turn * std::numbers::pi / 180.0;
  const Vec2 shoulder = mouth + 60.0 * Vec2{-std::cos(fall), std::sin(fall)};
  const double back = std::min(shoulder.x, -20.0) - 40.0;
  // With the material on its left: from the mouth on the far side to the foot, and on to the near mouth.
  const auto other = [](Vec2 p) { return Vec2{p.x, -p.y}; };
  ThroatOutline out;
  std::vector<ArcVertex>& v = out.path.vertices;
  for (std::size_t k = side.size() - 1; k > 0; --k) v.push_back({other(side[k].at), side[k - 1].bulge});
  for (std::size_t k = 0; k + 1 < side.size(); ++k) v.push_back(side[k]);
  out.sides = v.size();
  v.push_back({mouth, 0});
  v.push_back({shoulder, 0});
  v.push_back({{back, shoulder.y}, 0});
  v.push_back({{back, -shoulder.y}, 0});
  v.push_back({other(shoulder), 0});
  for (ArcVertex& vertex : v) vertex.at = turned(vertex.at, throat.lean);
  return out;
}

test::OffsetCase asked(const ThroatOutline& throat, double allowance, OffsetCorner form) {
  test::OffsetCase c{throat.path, std::vector<Millimetres>(throat.path.size(), Millimetres(4.0)),
                     std::vector<OffsetCorner>(throat.path.size(), form)};
  for (std::size_t i = 0; i < throat.sides; ++i) c.distances[i] = Millimetres(allowance);
  return c;
}

bool closed_path(const test::OffsetCase& c) {
  const Result<OffsetOutline> out = c.offset(false);
  if (out) return false;
  CHECK(out.problem().message.find("closes over an opening at (") != std::string::npos);
  return true;
}

// From so much on the sides fill the throat and are covered to their ends: no point of the fold between foot
// and mouth is farther from them, and the normals at their ends have met.
double filled_by(const Throat& throat) {
  Throat upright = throat;
  upright.lean = 0.0;
  const ThroatOutline outline = unfolded(upright);
  const ArcSegment last = outline.path.segment(outline.sides - 1);
  double farthest = throat.half_mouth / last.end_tangent().x;
  for (int i = 0; i <= 100; ++i) {
    double nearest = 1e9;
    for (std::size_t k = 0; k < outline.sides; ++k)
      nearest = std::min(nearest, outline.path.segment(k).distance_to({throat.depth * i / 100.0, 0}));
    farthest = std::max(farthest, nearest);
  }
  return farthest;
}

constexpr OffsetCorner kThroatForms[] = {OffsetCorner::kMitre, OffsetCorner::kFull, OffsetCorner::kSquare,
                                         OffsetCorner::kRound, OffsetCorner::kStep};

}  // namespace

TEST_CASE("a throat of curved sides is closed over by sweeps that cross beyond its mouth", "[offset]") {
  // 70 mm wide and 60 mm deep; 50 mm on either side fill it, and each sweep comes out through the other.
  for (const auto& [arcs, fall] :
       {std::pair{1, 60.0}, {3, 60.0}, {9, 60.0}, {15, 60.0}, {9, 89.0}, {15, 89.0}, {15, 95.0}}) {
    const ThroatOutline throat = unfolded({35, 60, 0.6, arcs, fall, 2.74});
    REQUIRE(check_simple(throat.path).ok());
    for (const OffsetCorner form : kThroatForms) {
      CAPTURE(arcs, fall, static_cast<int>(form));
      for (const double fits : {3.0, 8.0, 14.0}) CHECK_FALSE(closed_path(asked(throat, fits, form)));
      for (const double closes : {38.0, 45.0, 50.0, 55.0}) CHECK(closed_path(asked(throat, closes, form)));
    }
  }
}

TEST_CASE("throats of curved sides, equal verdicts, and no better with more", "[offset][random]") {
  test::holds_for_all("laid, mirrored, split, more", [] {
    const Throat throat{*rc::gen::inRange(40, 450) / 10.0, *rc::gen::inRange(200, 900) / 10.0,
                        *rc::gen::inRange(40, 80) / 100.0, *rc::gen::inRange(1, 14),
                        *rc::gen::inRange(25, 90) + 0.5,   *rc::gen::inRange(0, 6283) / 1000.0};
    const OffsetCorner form = *rc::gen::elementOf(std::vector<OffsetCorner>(kThroatForms, kThroatForms + 5));
    const double allowance = *rc::gen::inRange(20, 700) / 10.0 + 0.0137;
    const ThroatOutline outline = unfolded(throat);
    RC_PRE(check_simple(outline.path).ok());
    const test::OffsetCase c = asked(outline, allowance, form);
    RC_LOG() << c;
    const bool verdict = closed_path(c);
    // Mitres and steps cut into the allowance, so that the ends of the sides are covered later; with steps
    // that may be never: known to be let through.
    const double share = form == OffsetCorner::kMitre ? 0.7 : form == OffsetCorner::kStep ? 0.0 : 0.98;
    if (filled_by(throat) < share * allowance) RC_ASSERT(verdict);
    RC_ASSERT(closed_path(mirrored(c)) == verdict);
    RC_ASSERT(closed_path(moved(c, *rc::gen::inRange(0, 6283) / 1000.0, {40, -70})) == verdict);
    std::vector<int> parts;
    for (std::size_t i = 0; i < c.path.size(); ++i) parts.push_back(*rc::gen::inRange(1, 4));
    RC_ASSERT(closed_path(split(c, parts)) == verdict);
    RC_ASSERT(closed_path(started_at(c, *rc::gen::inRange<std::size_t>(0, c.path.size()))) == verdict);
    if (verdict) RC_ASSERT(closed_path(asked(outline, allowance + *rc::gen::inRange(1, 300) / 10.0, form)));
  });
}
