// Where a die lies on an outline that it serves: nowhere is the greatest share of all tolerances less.
#include "grading/dies/plan/tie_serve.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "tests/support/blob.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using namespace lastwright::test;
using Catch::Detail::Approx;

namespace {

constexpr std::uint16_t kKinds = 3;

DieShape random_shape(std::uint64_t seed) {
  Dice dice(seed);
  DieShape shape;
  shape.cut.path = blob(seed, 12, 60.0);
  for (std::size_t i = 0; i < shape.cut.path.size(); ++i)
    shape.cut.edge.push_back(static_cast<std::uint16_t>(kKinds * i / shape.cut.path.size()));
  for (int k = 0; k < 2; ++k) {
    const Vec2 at{dice(-20.0, 20.0), dice(-8.0, 8.0)};
    shape.holes.push_back({at, k == 0 ? 1.5 : 0.0, k == 0 ? Operation::kHole : Operation::kPrick});
    const Vec2 mouth = shape.cut.path.vertices[static_cast<std::size_t>(k) * 5].at;
    shape.marks.push_back({{{{mouth, 0.0}, {0.95 * mouth, 0.0}}}, Operation::kNick, false});
  }
  shape.cut_outs.push_back(placed(blob(seed + 1000, 6, 8.0), Radians(0.0), {dice(-25.0, 25.0), 0.0}));
  return shape;
}

// Another size: stretched, each mark and hole moved a little besides, and laid elsewhere.
DieShape another_size(const DieShape& shape, Dice& dice) {
  const double sx = dice(0.99, 1.02);
  const double sy = dice(0.99, 1.02);
  const double off = dice(0.0, 0.6);
  const auto move = [&](Vec2 at) { return Vec2{sx * at.x + dice(-off, off), sy * at.y + dice(-off, off)}; };
  DieShape other = shape;
  for (ArcVertex& v : other.cut.path.vertices) v.at = move(v.at);
  for (ClosedArcPath& cut_out : other.cut_outs) cut_out = stretched(cut_out, sx, sy);
  for (GradedHole& hole : other.holes) hole.centre = move(hole.centre);
  for (GradedLine& mark : other.marks) {
    for (ArcVertex& v : mark.path.vertices) v.at = move(v.at);
  }
  return placed(other, {Radians(dice(-0.03, 0.03)), {dice(-4.0, 4.0), dice(-4.0, 4.0)}});
}

PieceTolerances random_tolerances(Dice& dice) {
  const auto one = [&] { return 0.3 * std::pow(10.0, dice(0.0, 1.0)); };
  return {{one(), one(), one()}, one(), one()};
}

PieceTolerances times(PieceTolerances tolerances, double factor) {
  for (double& edge : tolerances.edges) edge *= factor;
  tolerances.cut_outs *= factor;
  tolerances.marks *= factor;
  return tolerances;
}

ServeTable table_of(const DieShape& size, const PieceTolerances& tolerances) {
  ServeOptions options;
  options.steps = {1.0};
  options.precision = Millimetres(1e-4);
  return ServeTable({&size}, tolerances, options);
}

bool serves(const DieShape& die, const DieShape& size, const PieceTolerances& tolerances) {
  ServeCount count;
  return !table_of(size, tolerances).served_by(die, {}, count).empty();
}

// By trial alone: random steps from a placement, kept where they lead nearer.
double least_by_trial(const ServeTable& table, const DieShape& die, const DieShape& size, Placement from,
                      double reach, Dice& dice) {
  const Vec2 middle = bounds(size.cut.path).centre();
  double best = table.measured(die, 0, from).ratio;
  for (int step = 0; step < 250 && reach > 1e-4; ++step) {
    Placement next{Radians(from.turn.value() + dice(-reach, reach) / 60.0), {}};
    next.shift = placed(middle, from) - turned(middle, next.turn.value()) +
                 Vec2{dice(-reach, reach), dice(-reach, reach)};
    const double ratio = table.measured(die, 0, next).ratio;
    reach *= ratio < best ? 1.6 : 0.95;
    if (ratio < best) {
      best = ratio;
      from = next;
    }
  }
  return best;
}

}  // namespace

TEST_CASE("no other place of a die gives less of the greatest share, over edges, cut-outs and marks together",
          "[tie_fit]") {
  Dice dice(3);
  for (std::uint64_t round = 1; round <= static_cast<std::uint64_t>(law_rounds(8)); ++round) {
    const DieShape size = random_shape(round);
    const DieShape die = another_size(size, dice);
    const PieceTolerances tolerances = random_tolerances(dice);
    const ServeTable table = table_of(size, tolerances);
    const RigidFit found = table.judged(die, 0);
    INFO("round " << round);
    CHECK(found.ratio <= 1.001 * least_by_trial(table, die, size, found.placement, 0.1, dice));
    Placement elsewhere = found.placement;
    elsewhere.turn = Radians(elsewhere.turn.value() + dice(-0.02, 0.02));
    elsewhere.shift = elsewhere.shift + Vec2{dice(-2.0, 2.0), dice(-2.0, 2.0)};
    CHECK(found.ratio <= 1.001 * least_by_trial(table, die, size, elsewhere, 1.0, dice));
  }
}

TEST_CASE(
    "a looser tolerance of any kind loses no size that a die serves; all of them scaled, shares scale alike",
    "[tie_fit]") {
  Dice dice(5);
  for (std::uint64_t round = 1; round <= 60; ++round) {
    const DieShape size = random_shape(round);
    const DieShape die = another_size(size, dice);
    const PieceTolerances drawn = random_tolerances(dice);
    const double ratio = table_of(size, drawn).judged(die, 0).ratio;
    INFO("round " << round << ", ratio " << ratio);
    const double factor = dice(1.5, 4.0);
    CHECK(table_of(size, times(drawn, factor)).judged(die, 0).ratio == Approx(ratio / factor).epsilon(1e-6));
    const PieceTolerances tight = times(drawn, ratio + 2e-5);  // they are just kept
    CHECK(serves(die, size, tight));
    for (std::size_t kind = 0; kind < 5; ++kind) {
      PieceTolerances loose = tight;
      (kind < 3 ? loose.edges[kind] : kind == 3 ? loose.cut_outs : loose.marks) *= dice(1.0, 3.0);
      INFO("kind " << kind);
      CHECK(serves(die, size, loose));
    }
  }
}
