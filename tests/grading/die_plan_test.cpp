#include "grading/die_plan.hpp"

#include <catch2/catch.hpp>
#include <set>

#include "tests/support/blob.hpp"

using namespace lastwright;
using namespace lastwright::test;
using Catch::Detail::Approx;

namespace {

// A style of blobs that grow by a share of their size per step, graded without a forme.
struct BlobStyle {
  StyleSpec style;
  std::vector<ClosedArcPath> outlines;
  std::vector<bool> punched;

  void add(const std::string& name, std::uint64_t seed, double radius, Hand hand = Hand::kHanded) {
    PieceSpec piece;
    piece.name = name;
    piece.hand = hand;
    for (const char* edge : {"feather", "top", "front"})
      piece.edges.push_back({edge, "", "", Treatment::kRaw, Millimetres(0), {}, false, false});
    piece.edges[0].treatment = Treatment::kLasting;
    style.pieces.push_back(piece);
    outlines.push_back(blob(seed, 12, radius));
    punched.push_back(radius > 20);
  }

  [[nodiscard]] GradedPiece graded(std::size_t piece, const SizeWidth& at) const {
    const double sizes = at.size.position.value() - 8.0;
    const double widths = at.width.position.value() - 1.0;
    const double sx = 1.0 + 0.029 * sizes;
    const double sy = 1.0 + 0.025 * widths + 0.01 * sizes;
    GradedPiece result;
    result.piece = style.pieces[piece].name;
    result.at = at;
    result.cut.path = stretched(outlines[piece], sx, sy);
    for (std::size_t i = 0; i < result.cut.path.size(); ++i) {
      result.cut.edge.push_back(static_cast<std::uint16_t>(i * 3 / result.cut.path.size()));
    }
    result.net = result.cut;
    if (punched[piece]) result.holes.push_back({{5.0 * sx, 3.0 * sy}, 2.0, Operation::kHole});
    return result;
  }
};

SizeRun run_of(int sizes, int widths) {
  SizeRun run;
  for (int i = 0; i < sizes; ++i) {
    const Fraction position = Fraction(7) + Fraction(i, 2);
    run.sizes.push_back({position, to_mixed(position)});
  }
  for (int j = 0; j < widths; ++j)
    run.widths.push_back({Fraction(j), std::string(1, static_cast<char>('E' + j))});
  run.base = {run.sizes[2], run.widths[1]};
  return run;
}

DiePlanInput input_of(const BlobStyle& blobs, const DieRules& rules, const SizeRun& run) {
  DiePlanInput input;
  input.style = &blobs.style;
  input.rules = &rules;
  input.places = die_places(run, rules.between);
  const std::vector<SizeWidth> places = input.places.places;
  input.outline = [&blobs, places](std::size_t piece, std::size_t place) -> Result<DieOutline> {
    const GradedPiece graded = blobs.graded(piece, places[place]);
    return DieOutline{die_shape_of(graded), edge_lengths(graded.net, 3)};
  };
  for (std::size_t p = 0; p < blobs.style.pieces.size(); ++p)
    input.base_edges.push_back(edge_lengths(blobs.graded(p, run.base).net, 3));
  return input;
}

BlobStyle small_style() {
  BlobStyle blobs;
  blobs.add("vamp", 3, 70);
  blobs.add("tongue", 5, 12);
  blobs.add("loop", 8, 8);
  return blobs;
}

// Greatest distance from dense points of one outline to the other.
double sampled(const ClosedArcPath& one, const ClosedArcPath& other) {
  double worst = 0.0;
  for (const Vec2 p : flattened(one, Millimetres(1e-4))) worst = std::max(worst, distance_to(other, p));
  return worst;
}

}  // namespace

TEST_CASE("every size and width is served once, within tolerance, and small pieces share dies",
          "[die_plan]") {
  const BlobStyle blobs = small_style();
  DieRules rules;
  const SizeRun run = run_of(5, 3);
  const DiePlanInput input = input_of(blobs, rules, run);
  const Result<DiePlan> plan = plan_dies(input);
  REQUIRE(plan.ok());
  CHECK(plan->proven);
  CHECK(plan->bound == Approx(plan->cost));
  CHECK(plan->dies_without == 15 * 2 * 3);
  CHECK(plan->dies_needed < plan->dies_without);
  CHECK(plan->pieces[0].outlines == 15);  // a vamp grows too much to be tied
  CHECK(plan->pieces[2].outlines < 8);
  for (std::size_t p = 0; p < 3; ++p) {
    std::multiset<std::uint32_t> served;
    for (const PlannedDie& die : plan->dies) {
      if (die.piece == p) served.insert(die.serves.begin(), die.serves.end());
    }
    CHECK(served.size() == 15);
    CHECK(std::set<std::uint32_t>(served.begin(), served.end()).size() == 15);
  }
  // The deviation again, by dense points under the placement, and for the mirrored pair.
  std::size_t tied = 0;
  for (const PlannedDie& die : plan->dies) {
    for (const std::uint32_t demand : die.serves) {
      const GradedPiece own = blobs.graded(die.piece, input.places.demands[demand]);
      const DieShape wanted = die_shape_of(own);
      const ServeTable table({&wanted}, rules.tolerances_of(blobs.style.pieces[die.piece]), {});
      const RigidFit fit = table.judged(die.shape, 0);
      const ClosedArcPath laid = placed(wanted.cut.path, fit.placement.turn, fit.placement.shift);
      const double dense = std::max(sampled(laid, die.shape.cut.path), sampled(die.shape.cut.path, laid));
      CHECK(dense <= 0.3 + 1e-6);
      CHECK(dense <= die.worst_deviation + 0.01);
      const DieShape other_wanted = mirrored(wanted);
      const ServeTable other_table({&other_wanted}, rules.tolerances_of(blobs.style.pieces[die.piece]), {});
      CHECK(other_table.judged(mirrored(die.shape), 0).ratio <= 1.0 + 1e-2);
      tied += die.serves.size() > 1 ? 1 : 0;
    }
  }
  CHECK(tied > 10);
  // The curve never rises with the tolerance, and meets the plan at its own tolerance.
  for (std::size_t k = 1; k < plan->curve.size(); ++k) CHECK(plan->curve[k].dies <= plan->curve[k - 1].dies);
  CHECK(plan->curve[2].dies == plan->dies_needed);
}

TEST_CASE("half-way dies serve more than own outlines only", "[die_plan]") {
  const BlobStyle blobs = small_style();
  DieRules rules;
  rules.curve.clear();
  const SizeRun run = run_of(6, 3);
  const DiePlan with = *plan_dies(input_of(blobs, rules, run));
  rules.between = false;
  const DiePlan without = *plan_dies(input_of(blobs, rules, run));
  CHECK(with.dies_needed < without.dies_needed);
  rules.ties = false;
  CHECK(plan_dies(input_of(blobs, rules, run))->dies_needed == 6 * 3 * 3 * 2);
}

TEST_CASE("edges of their own kind have their own tolerance", "[die_plan]") {
  const BlobStyle blobs = small_style();
  DieRules rules;
  rules.curve.clear();
  rules.by_kind["lasting"] = 1e-3;  // nothing may differ on the feather
  const DiePlan plan = *plan_dies(input_of(blobs, rules, run_of(4, 2)));
  CHECK(plan.dies_needed == plan.dies_without);
}

TEST_CASE("owned dies are used again and only the difference is ordered", "[die_plan]") {
  const BlobStyle blobs = small_style();
  DieRules rules;
  rules.curve.clear();
  const SizeRun run = run_of(4, 2);
  DiePlanInput input = input_of(blobs, rules, run);
  const DiePlan first = *plan_dies(input);
  for (const PlannedDie& die : first.dies) {
    input.owned.push_back(
        {std::to_string(input.owned.size()), blobs.style.pieces[die.piece].name, die.shape});
    std::fill(input.owned.back().shape.cut.edge.begin(), input.owned.back().shape.cut.edge.end(),
              std::uint16_t{0});
  }
  CHECK(plan_dies(input)->dies_to_make == 0);
  // The vamp is drawn anew: its dies are ordered, the others stay.
  BlobStyle changed = small_style();
  changed.outlines[0] = blob(99, 12, 70);
  DiePlanInput again = input_of(changed, rules, run);
  again.owned = input.owned;
  const DiePlan second = *plan_dies(again);
  CHECK(second.dies_to_make == 8 * 2);
  for (const PlannedDie& die : second.dies) CHECK(die.owned.has_value() == (die.piece != 0));
}

TEST_CASE("hands: symmetric outlines need one die, marks forbid the two-edged one", "[die_plan]") {
  PieceSpec piece;
  DieShape shape;
  shape.cut.path = placed(box_path(40, 25), Radians(0.3), {100, 20});
  shape.cut.edge = {0, 0, 0, 0};
  CHECK(mirror_deviation(shape) < 5e-3);
  CHECK(choose_hands(piece, shape, mirror_deviation(shape), false).mode == HandMode::kSymmetric);
  shape.cut.path.vertices[2].at.x += 6.0;
  const double off = mirror_deviation(shape);
  CHECK(off > 0.5);
  CHECK(choose_hands(piece, shape, off, false).mode == HandMode::kPair);
  CHECK(choose_hands(piece, shape, off, true).mode == HandMode::kTwoEdged);
  shape.marks.push_back({{{{{100, 10}}, {{100, 12}}}}, Operation::kNick});
  CHECK(choose_hands(piece, shape, off, true).mode == HandMode::kPair);
  piece.hand = Hand::kReversible;
  CHECK(choose_hands(piece, shape, off, false).mode == HandMode::kTurned);
}

TEST_CASE("a price adds rule, corners, punches and the fixed part", "[die_plan]") {
  DieShape shape;
  shape.cut.path = box_path(40, 25);
  shape.cut.edge = {0, 0, 0, 0};
  shape.holes.push_back({{0, 0}, 3.0, Operation::kHole});
  DieRates rates;
  rates.per_mm = 0.05;
  rates.per_corner = 0.5;
  rates.per_punch = 2.0;
  rates.fixed = 12.0;
  rates.two_edged = 1.5;
  const DieFacts facts = measure_die(shape);
  CHECK(price_of(facts, rates, {HandMode::kPair, ""}) == Approx(130 * 0.05 + 4 * 0.5 + 2.0 + 12.0));
  CHECK(price_of(facts, rates, {HandMode::kTwoEdged, ""}) ==
        Approx(1.5 * (130 * 0.05 + 4 * 0.5 + 2.0 + 12.0)));
}
