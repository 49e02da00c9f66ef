#include "grading/dies/plan/die_plan.hpp"
#include "grading/dies/plan/die_seams.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "grading/dies/die_price.hpp"
#include "grading/dies/die_rules_json.hpp"
#include "grading/dies/order/die_order.hpp"
#include "grading/dies/plan/die_candidates.hpp"
#include "tests/support/blob_style.hpp"

using namespace lastwright;
using namespace lastwright::test;
using Catch::Detail::Approx;

namespace {

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
  DieShape marked = shape;  // the size with most marks decides, and one without any still says true of itself
  marked.size_marks.push_back({{{{{100, 10}}, {{100, 12}}}}, Operation::kNick, {true, false}});
  CHECK(&most_marked({&shape, &marked}) == &marked);
  CHECK(&most_marked({&marked, &shape}) == &marked);
  const HandChoice pair = choose_hands(piece, marked, off, true);
  CHECK(pair.why == "1 nick or prick stands on one side: no two-edged die");
  CHECK(hands_of_die(pair, shape, false).why.starts_with("no two-edged die, as nicks or pricks stand"));
  shape.marks.push_back({{{{{100, 10}}, {{100, 12}}}}, Operation::kNick});
  CHECK(choose_hands(piece, shape, off, true).mode == HandMode::kPair);
  CHECK(choose_hands(piece, shape, off, true, true).mode == HandMode::kTwoEdged);
  shape.holes.push_back({{110, 15}, 0.0, Operation::kPrick});  // a pin pricks towards one side
  CHECK(choose_hands(piece, shape, off, true, true).mode == HandMode::kPair);
  piece.hand = Hand::kReversible;
  CHECK(choose_hands(piece, shape, off, false).mode == HandMode::kTurned);
}

TEST_CASE("hands: a nick with a mouth on each side of the fold is its own mirror image", "[die_plan]") {
  // Both are drawn against the clock, as nicks along an outline are: the mirror image of one starts at the
  // other end of its mouth.
  DieShape shape;
  shape.cut.path = box_path(40, 25);
  shape.cut.edge = {0, 0, 0, 0};
  const double low = shape.cut.path.vertices[0].at.y;
  const auto vee = [&](double x, double depth) {
    return GradedLine{{{{{x - 0.75, low}}, {{x, low + depth}}, {{x + 0.75, low}}}}, Operation::kNick};
  };
  shape.marks = {vee(-8, 1.5), vee(8, 1.5)};
  CHECK(mirror_deviation(shape, {0, -30}, {0, 30}) < 1e-6);
  CHECK(mirror_deviation(shape) < 5e-3);
  // One deeper than the other, one inward and one outward, one further off: each shows.
  shape.marks[1] = vee(8, 2.5);
  CHECK(mirror_deviation(shape, {0, -30}, {0, 30}) == Approx(1.0).margin(0.6));
  shape.marks[1] = vee(8, -1.5);
  CHECK(mirror_deviation(shape, {0, -30}, {0, 30}) > 1.0);
  shape.marks[1] = vee(9, 1.5);
  CHECK(mirror_deviation(shape, {0, -30}, {0, 30}) > 0.5);
}

TEST_CASE("a price adds rule, corners, punches and the fixed part", "[die_plan]") {
  DieShape shape;
  shape.cut.path = box_path(40, 25);
  shape.cut.edge = {0, 0, 0, 0};
  shape.holes.push_back({{0, 0}, 3.0, Operation::kHole});
  DieRules rules;
  DieRates& rates = rules.rates;
  rates.per_mm = 0.05;
  rates.per_corner = 0.5;
  rates.per_punch = 2.0;
  rates.fixed = 12.0;
  rates.two_edged = 1.5;
  const DieFacts facts = measure_die(shape);
  CHECK(price_of(facts, 0, rules, {HandMode::kPair, ""}) == Approx(130 * 0.05 + 4 * 0.5 + 2.0 + 12.0));
  CHECK(price_of(facts, 0, rules, {HandMode::kTwoEdged, ""}) ==
        Approx(1.5 * (130 * 0.05 + 4 * 0.5 + 2.0 + 12.0)));
  // A small closed shape is a special punch: no rule goes round it.
  shape.cut_outs.push_back({{{{10, 5}}, {{14, 5}}, {{14, 9}}, {{10, 9}}}});
  const DieFacts more = without_special_punches(measure_die(shape), rules.limits);
  const double without = 130 * 0.05 + 0.5 * 4 + 2.0 + 12.0;
  CHECK(price_of(more, 0, rules, {HandMode::kPair, ""}) == Approx(without));  // no price of one is no guess
  rates.per_special_punch = 7.0;
  const DieWork work = die_work(shape, more, rules.limits, rules.bridge_every);
  CHECK(special_punch_price(work, rules, {HandMode::kPair, ""}) == 7.0);
  CHECK(special_punch_price(work, rules, {HandMode::kTwoEdged, ""}) == Approx(1.5 * 7.0));
  const double with = 130 * 0.05 + 0.5 * 4 + 2.0 + 7.0 + 12.0;
  CHECK(price_of(more, 0, rules, {HandMode::kPair, ""}) == Approx(with));
  // Nicks, bridges and joints by rates of their own; a cut-out bent from rule has a joint, a punch has none.
  shape.marks.push_back({{{{{5, 0}}, {{5, 2}}}}, Operation::kNick});
  shape.cut_outs.push_back({{{{-18, -10}}, {{-4, -10}}, {{-4, 4}}, {{-18, 4}}}});
  const DieFacts all = without_special_punches(measure_die(shape), rules.limits);
  CHECK(joints_of(all, rules.limits) == 2);
  const double before = price_of(all, 3, rules, {HandMode::kPair, ""});
  rates.per_nick = 0.25;
  rates.per_bridge = 3.5;
  rates.per_joint = 1.5;
  CHECK(price_of(all, 3, rules, {HandMode::kPair, ""}) == Approx(before + 0.25 + 3 * 3.5 + 2 * 1.5));
  const Checked<DieRules> read = read_die_rules(
      R"({"lastwright_die_rules":1,"rates":{"per_nick":0.25,"per_bridge":3.5,"per_joint":0}})", "a", {});
  CHECK(read.ok());
  CHECK(read->rates.given());
  CHECK(read->rates.per_bridge == 3.5);
  CHECK(read->rates.per_joint == 0.0);  // stated: in the price, at nothing
}

TEST_CASE("a least price that leaves out nicks that tell the size is not called proven", "[die_plan]") {
  BlobStyle blobs = small_style();
  blobs.size_nicks = true;
  DieRules rules;
  rules.curve.clear();
  rules.ties = false;
  rules.between = false;
  rules.minimise = Minimise::kCost;
  rules.rates.fixed = 10.0;
  const SizeRun run = run_of(3, 2);
  for (const bool priced : {false, true}) {
    if (priced) rules.rates.per_nick = 1.0;
    const DiePlan plan = *plan_dies(input_of(blobs, rules, run));
    double price = 0.0;
    for (const PlannedDie& die : plan.dies)
      price +=
          die.to_make() * price_of(die.facts, static_cast<int>(die.work.bridges.size()), rules, die.hands);
    CHECK(plan.proven == !priced);
    CHECK(plan.bound <= price + 1e-6);
    CHECK(std::any_of(plan.notes.begin(), plan.notes.end(), [](const std::string& note) {
            return note.starts_with("the least price was sought without nicks that tell the size");
          }) == priced);
  }
}

TEST_CASE("a die with size marks is known for its size and serves no other", "[die_plan]") {
  BlobStyle blobs = small_style();
  blobs.size_nicks = true;
  DieRules rules;
  rules.curve.clear();
  const SizeRun run = run_of(4, 2);
  DiePlanInput input = input_of(blobs, rules, run);
  const DiePlan first = *plan_dies(input);
  for (const PlannedDie& die : first.dies) {
    if (die.serves.size() > 1) CHECK(die.shape.size_marks.empty());
    CHECK(die.facts.nicks == static_cast<int>(die.shape.marks.size() + die.shape.size_marks.size()));
    input.owned.push_back(
        {std::to_string(input.owned.size()), blobs.style.pieces[die.piece].name, with_size_marks(die.shape)});
    std::reverse(input.owned.back().shape.marks.begin(),
                 input.owned.back().shape.marks.end());  // in any order
  }
  const DiePlan again = *plan_dies(input);
  CHECK(again.dies_to_make == 0);
  CHECK(again.unused.empty());

  // The loop of 8 E with its two size nicks: without them it would serve its neighbours, too.
  const std::uint32_t demand = 4;
  REQUIRE(input.places.demands[demand].size.label == "8");
  const DieShape loop = die_shape_of(blobs.graded(2, input.places.demands[demand]));
  REQUIRE(loop.size_marks.size() == 2);
  const auto served_by_first = [&](DieShape shape) {
    input.owned = {{"old", "loop", std::move(shape)}};
    std::set<std::string> sizes;
    const DiePlan plan = *plan_dies(input);
    for (const PlannedDie& die : plan.dies) {
      for (const std::uint32_t d : die.owned ? die.serves : std::vector<std::uint32_t>())
        sizes.insert(input.places.demands[d].size.label);
    }
    return sizes;
  };
  CHECK(served_by_first(with_size_marks(loop)) == std::set<std::string>{"8"});
  DieShape plain = loop;
  plain.size_marks.clear();
  CHECK(served_by_first(plain).size() > 1);
  // In an order for one size and width alone it serves a single one and does not tell it, which is said.
  input.owned = {{"old", "loop", plain}};
  SizeRun eight = run;
  eight.sizes = {run.sizes[2]};
  eight.widths = {run.widths[0]};
  DiePlanInput one_size = input_of(blobs, rules, eight);
  one_size.owned = input.owned;
  const DiePlan untold = *plan_dies(one_size);
  std::size_t silent = 0;
  for (const PlannedDie& die : untold.dies) {
    const DieShape own = die_shape_of(blobs.graded(die.piece, one_size.places.demands[die.serves.front()]));
    const int nicks = static_cast<int>(own.marks.size() + own.size_marks.size());
    CHECK(die.untold.any() == (die.serves.size() == 1 && die.facts.nicks < nicks));
    silent += die.untold.any() ? 1 : 0;
  }
  CHECK(silent == 1);
  const DieOrder order = make_die_order(untold, blobs.style, rules, one_size.places, one_size.owned);
  CHECK(std::any_of(order.notes.begin(), order.notes.end(), [](const std::string& note) {
    return note.starts_with("1 die serves a single size and width and has no nicks that tell the size") &&
           note.find("(old loop 8 ") != std::string::npos;
  }));
  // One size nick more than any size has: it serves nothing, and the reason says so.
  DieShape other = with_size_marks(loop);
  other.marks.push_back({{{{{0, 1}}, {{0, 2}}}}, Operation::kNick});
  CHECK(served_by_first(other).empty());
  const DiePlan unused = *plan_dies(input);
  REQUIRE(unused.unused.size() == 1);
  CHECK(unused.unused[0].why.find("nicks") != std::string::npos);
}

TEST_CASE("one drawing of a handed pair is the die of one foot, whichever it shows and wherever it lies",
          "[die_plan]") {
  const BlobStyle blobs = small_style();
  DieRules rules;
  rules.curve.clear();
  DiePlanInput input = input_of(blobs, rules, run_of(3, 2));
  const int all = plan_dies(input)->dies_to_make;
  const DieShape vamp = die_shape_of(blobs.graded(0, input.places.demands[1]));
  const DieShape turned = placed(mirrored(vamp), Placement{Radians(2.1), {300, -40}});
  const auto plan = [&](std::vector<OwnedDie> owned) {
    input.owned = std::move(owned);
    return *plan_dies(input);
  };
  const auto line = [](const DiePlan& with) {
    return *std::find_if(with.dies.begin(), with.dies.end(),
                         [](const PlannedDie& die) { return die.owned.has_value(); });
  };
  const DiePlan one = plan({{"a", "", vamp, OwnedFoot::kUnknown}});
  CHECK(one.dies_to_make == all - 1);
  CHECK(line(one).make_mirrored);
  CHECK_FALSE(line(one).make_drawn);
  const DiePlan other = plan({{"b", "", turned, OwnedFoot::kUnknown}});
  CHECK(other.dies_to_make == all - 1);
  CHECK(line(other).make_drawn);
  CHECK_FALSE(line(other).make_mirrored);
  const DiePlan both = plan({{"b", "", turned, OwnedFoot::kUnknown}, {"a", "", vamp, OwnedFoot::kUnknown}});
  CHECK(both.dies_to_make == all - 2);
  CHECK(line(both).owned == 1u);
  CHECK(line(both).owned_other == 0u);
  CHECK(both.unused.empty());
  // Twice the same foot is no pair: one of the two serves nothing.
  const DiePlan twice = plan({{"a", "", vamp, OwnedFoot::kUnknown}, {"c", "", vamp, OwnedFoot::kUnknown}});
  CHECK(twice.dies_to_make == all - 1);
  CHECK(twice.unused.size() == 1);
  const DiePlan elsewhere =
      plan({{"d", "hat", vamp}, {"e", "", {{box_path(300, 200), {0, 0, 0, 0}}, {}, {}, {}}}});
  CHECK(elsewhere.dies_to_make == all);
  REQUIRE(elsewhere.unused.size() == 2);
  CHECK(elsewhere.unused[0].why.find("no piece") != std::string::npos);
  CHECK(elsewhere.unused[1].why.find("deviates from") != std::string::npos);
}

TEST_CASE("without ties an owned die serves one size and width", "[die_plan]") {
  const BlobStyle blobs = small_style();
  DieRules rules;
  rules.curve.clear();
  rules.ties = false;
  rules.between = false;
  DiePlanInput input = input_of(blobs, rules, run_of(3, 2));
  input.owned = {{"a", "loop", die_shape_of(blobs.graded(2, input.places.demands[2]))}};
  const DiePlan plan = *plan_dies(input);
  CHECK(plan.dies_to_make == (6 * 3 - 1) * 2);
  for (const PlannedDie& die : plan.dies) CHECK(die.serves.size() == 1);
}

TEST_CASE("a die for one size and width is its own outline", "[die_plan]") {
  const BlobStyle blobs = small_style();
  DieRules rules;
  rules.curve.clear();
  const DiePlan plan = *plan_dies(input_of(blobs, rules, run_of(6, 3)));
  CHECK(plan.proven);
  int shared = 0;
  for (const PlannedDie& die : plan.dies) {
    if (die.serves.size() == 1) CHECK_FALSE(die.between);
    if (die.serves.size() == 1) CHECK(die.worst_deviation == 0.0);
    if (die.between) ++shared;
  }
  CHECK(shared > 0);
}

TEST_CASE("what serves at the order's tolerance does not depend on the tolerances of the curve",
          "[die_plan]") {
  BlobStyle blobs = small_style();
  blobs.wider_holes = true;
  DieRules rules;
  const DiePlanInput input = input_of(blobs, rules, run_of(4, 2));
  std::size_t single = 0;
  for (std::size_t k = 0; k < 6; ++k) {
    const std::size_t piece = k % 3;
    rules.tolerance = 0.4 + 0.4 * static_cast<double>(k / 3);
    rules.curve.clear();
    const PieceCandidates few = *find_candidates(input, piece, 1.0);
    rules.curve = {1.5};
    const PieceCandidates many = *find_candidates(input, piece, 5.0);
    for (std::size_t place = 0; place < input.places.places.size(); ++place) {
      const auto served = [](const std::vector<Serves>& all) {
        std::set<std::uint32_t> demands;
        for (const Serves& one : all) {
          if (one.ratio <= 1.0) demands.insert(one.demand);
        }
        return demands;
      };
      CHECK(served(few.serves[place]) == served(many.serves[place]));
      if (input.places.between(place) && served(few.serves[place]).size() == 1) ++single;
    }
  }
  CHECK(single > 0);  // which a mate's shared die may need
}

TEST_CASE("faults of a tooling group name the rules file", "[die_plan]") {
  const BlobStyle blobs = small_style();
  DieRules rules;
  rules.file = "works.json";
  rules.pieces["vamp"].groups = {{"small", "7", "99", {}}};
  const Result<DiePlan> plan = plan_dies(input_of(blobs, rules, run_of(3, 2)));
  REQUIRE_FALSE(plan.ok());
  CHECK(plan.problem().place.file == "works.json");
  CHECK(plan.problem().in_file("style.json").place.file == "works.json");
}

TEST_CASE("failed checks of the style and seams over their limit as served are told", "[die_plan]") {
  StyleFinding good{"seam", "back seam", 0.02, 0.1, "mm", {}, true, ""};
  StyleFinding bad{"hole to hole", "facing: eyelets", -0.4, 0.8, "mm", {}, false, ""};
  DiePlan plan;
  plan.seam_limit = 0.1;
  plan.seams = {{"held", 0.09, {}, 0}, {"tied", 0.31, {}, 4}};
  const std::vector<StyleFinding> failed = failed_checks({good, bad}, plan);
  REQUIRE(failed.size() == 2);
  CHECK(failed[0].check == "hole to hole");
  CHECK(failed[1].check == "seam as served");
  CHECK(failed[1].subject == "tied");
  CHECK_FALSE(failed[1].passed);
}

TEST_CASE("seams of tied pieces are stated with their amounts, the worst first", "[die_plan]") {
  const SizeRun run = run_of(3, 2);
  const SizeWidth at{run.sizes[1], run.widths[0]};
  DiePlan plan;
  plan.seams = {{"small", 0.3, at, 2, 0.1, true},
                {"judged", 0.09, at, 0, 0.1, false},
                {"large", 2.2171, at, 9, 0.1, true},
                {"none", 0.0, at, 0, 0.1, true}};
  const std::string place = label_of(at);
  CHECK(tied_seam_words(plan) ==
        std::vector<std::string>{"large 2.217 mm at " + place, "small 0.300 mm at " + place});
  note_seams(plan);
  CHECK(std::any_of(plan.notes.begin(), plan.notes.end(), [&](const std::string& note) {
    return note.starts_with("LOOK") && note.find("large 2.217 mm at " + place) != std::string::npos &&
           note.find("judged") == std::string::npos;
  }));
}
