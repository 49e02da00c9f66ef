#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "grading/dies/order/die_order.hpp"
#include "tests/support/blob_style.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using namespace lastwright::test;
using Catch::Detail::Approx;

namespace {

// As an order's drawings are read back: moved by less than anybody sees, edges not known.
OwnedDie owned_from(const PlannedDie& die, const BlobStyle& blobs, std::size_t number) {
  OwnedDie owned{std::to_string(number), blobs.style.pieces[die.piece].name, die.shape};
  for (ArcVertex& vertex : owned.shape.cut.path.vertices) vertex.at.x = std::round(vertex.at.x * 1e4) / 1e4;
  std::fill(owned.shape.cut.edge.begin(), owned.shape.cut.edge.end(), std::uint16_t{0});
  owned.drawn_as = (die.between ? "between " : "") + label_of(die.at);
  return owned;
}

// The place that a die is drawn at.
std::optional<std::size_t> plan_place(const PlannedDie& die, const DiePlanInput& input) {
  for (std::size_t place = 0; place < input.places.places.size(); ++place) {
    if (same_cell(input.places.places[place], die.at)) return place;
  }
  return std::nullopt;
}

}  // namespace

TEST_CASE("an order owned by itself leaves nothing to make, and its seams as they were", "[die_plan]") {
  BlobStyle blobs = small_style();
  blobs.style.seam_limit = Millimetres(0.05);
  // The loop is sewn to the tongue, and longer where the allowance is not cut: net lengths are what counts.
  blobs.style.seams.push_back({"loop to tongue", {"loop", "top"}, {"tongue", "top"}});
  blobs.style.seams.push_back({"loop to tongue front", {"loop", "front"}, {"tongue", "front"}});
  DieRules rules;
  rules.curve.clear();
  const SizeRun run = run_of(4, 2);
  const auto net = [&](DiePlanInput& input) {
    const OutlineAt cut = input.outline;
    const std::vector<SizeWidth> places = input.places.places;
    input.outline = [cut, places](std::size_t piece, std::size_t place) {
      Result<DieOutline> outline = cut(piece, place);
      for (double& length : outline->edge_lengths)  // sewn to one line that no cut edge tells
        length = 10.0 + 0.02 * std::pow(places[place].size.position.value(), 2.0);
      return outline;
    };
    for (std::vector<double>& edges : input.base_edges) std::fill(edges.begin(), edges.end(), 10.0);
  };
  std::size_t half_way = 0;
  struct Case {
    double tolerance;
    bool between;
    bool eased;
  };
  for (const auto& [tolerance, between, eased] :
       {Case{0.3, true, false}, Case{1.0, true, true}, Case{0.5, false, true}}) {
    rules.tolerance = tolerance;
    rules.between = between;
    rules.seam_limits.clear();
    if (eased) rules.seam_limits["loop to tongue"] = 0.2;
    DiePlanInput input = input_of(blobs, rules, run);
    net(input);
    const DiePlan first = *plan_dies(input);
    for (const PlannedDie& die : first.dies) {
      half_way += die.between ? 1 : 0;
      input.owned.push_back(owned_from(die, blobs, input.owned.size()));
    }
    const std::vector<OwnedDie> owned = std::move(input.owned);
    DieRules wide = rules;
    wide.between = true;  // graded half way too, to know what is owned, but no die is drawn there
    input = input_of(blobs, wide, run);
    input.rules = &rules;
    net(input);
    input.owned = owned;
    const DiePlan again = *plan_dies(input);
    INFO(tolerance << " mm, half way " << between << ", eased " << eased);
    CHECK(again.dies_to_make == 0);
    CHECK(again.unused.empty());
    CHECK(again.seams_eased == (eased ? 1u : 0u));
    CHECK(again.dies_needed == first.dies_needed);
    CHECK(again.worst_seam == Approx(first.worst_seam).margin(1e-12));
    REQUIRE(again.seams.size() == first.seams.size());
    for (std::size_t s = 0; s < first.seams.size(); ++s)
      CHECK(again.seams[s].worst == Approx(first.seams[s].worst).margin(1e-12));
    REQUIRE(again.dies.size() == first.dies.size());
    std::set<std::string> then;
    std::set<std::string> now;
    for (const PlannedDie& die : first.dies) then.insert(owned_from(die, blobs, 0).drawn_as);
    for (const PlannedDie& die : again.dies) now.insert(owned_from(die, blobs, 0).drawn_as);
    CHECK(now == then);
  }
  CHECK(half_way > 0);
}

TEST_CASE("an owned die keeps its edges and counts as often as it is there", "[die_plan]") {
  const BlobStyle blobs = small_style();
  DieRules rules;
  rules.curve.clear();
  rules.tolerance = 0.6;
  rules.two_edged = true;
  DiePlanInput input = input_of(blobs, rules, run_of(3, 2));
  const DiePlan first = *plan_dies(input);
  std::vector<OwnedDie> owned;
  std::size_t edged = 0;
  for (const PlannedDie& die : first.dies) {
    OwnedDie one = owned_from(die, blobs, owned.size());
    one.two_edged = die.hands.mode == HandMode::kTwoEdged;
    one.of_a_pair = die.hands.mode == HandMode::kPair;
    edged += one.two_edged ? 1 : 0;
    owned.push_back(std::move(one));
  }
  REQUIRE(edged > 0);
  rules.two_edged = false;
  const auto plan_with = [&](const std::vector<OwnedDie>& dies) {
    input = input_of(blobs, rules, run_of(3, 2));
    input.owned = dies;
    return *plan_dies(input);
  };
  const DiePlan again = plan_with(owned);
  CHECK(again.dies_to_make == 0);
  std::size_t kept = 0;
  for (const PlannedDie& die : again.dies) kept += die.hands.mode == HandMode::kTwoEdged ? 1 : 0;
  CHECK(kept == edged);

  // One die that cut both feet because they were alike cuts one where they are not.
  std::vector<OwnedDie> single = owned;
  for (OwnedDie& die : single) {
    die.single = die.two_edged;
    die.two_edged = false;
  }
  CHECK(plan_with(single).dies_to_make == static_cast<int>(edged));

  rules.quantity = 2;
  const auto unmet = [&](const std::vector<OwnedDie>& dies) {
    const DiePlan plan = plan_with(dies);
    return make_die_order(plan, blobs.style, rules, input.places, dies).unmet.size();
  };
  CHECK(unmet(owned) == 1);
  std::vector<OwnedDie> twice = owned;
  twice.insert(twice.end(), owned.begin(), owned.end());
  CHECK(unmet(twice) == 0);
  for (OwnedDie& die : owned) die.quantity = 2;
  CHECK(unmet(owned) == 0);
}

TEST_CASE("a die drawn outside a part of the run is known again in an order of that part", "[die_plan]") {
  const BlobStyle blobs = small_style();
  DieRules rules;
  rules.curve.clear();
  rules.tolerance = 1.0;
  SizeRun run = run_of(5, 2);
  run.stated_sizes = run.sizes;
  run.stated_widths = run.widths;
  std::size_t outside = 0;
  std::size_t half_way = 0;
  for (const bool between : {true, false}) {
    rules.between = between;
    DiePlanInput input = input_of(blobs, rules, run);
    const DiePlan first = *plan_dies(input);
    std::vector<OwnedDie> owned;
    for (const PlannedDie& die : first.dies) owned.push_back(owned_from(die, blobs, owned.size()));
    rules.between = true;
    for (const char* size : {"7", "7.5", "9"}) {
      const std::vector<std::string> sizes{size};
      const SizeRun part = *run.part(sizes, {});
      input = part_input(blobs, rules, part, owned);
      const DiePlan plan = *plan_dies(input);
      INFO("size " << size);
      CHECK(plan.dies_to_make == 0);
      for (const PlannedDie& die : plan.dies) {
        REQUIRE(die.owned);
        CHECK_FALSE(die.seams_estimated);
        CHECK((die.between ? "between " : "") + label_of(die.at) == owned[*die.owned].drawn_as);
        if (input.places.outside(*plan_place(die, input)) == nullptr) continue;
        ++outside;
        half_way += die.between ? 1 : 0;
      }
      // No die is drawn there where none is.
      input.owned.clear();
      for (const PlannedDie& die : plan_dies(input)->dies)
        CHECK(input.places.outside(die.candidate) == nullptr);
    }
  }
  CHECK(outside > half_way);
  CHECK(half_way > 0);
}

TEST_CASE("a die whose drawing has been turned is known again as the outline that it is", "[die_plan]") {
  const BlobStyle blobs = small_style();
  DieRules rules;
  rules.curve.clear();
  DiePlanInput input = input_of(blobs, rules, run_of(3, 2));
  const DiePlan first = *plan_dies(input);
  test::holds_for_all(
      "no die of the grade is an estimate, however its sheet lies",
      [&] {
        const Placement laid{Radians(0.001 * *rc::gen::inRange(0, 6283)),
                             {1.0 * *rc::gen::inRange(-400, 400), 1.0 * *rc::gen::inRange(-400, 400)}};
        input.owned.clear();
        for (const PlannedDie& die : first.dies) {
          OwnedDie owned = owned_from(die, blobs, input.owned.size());
          owned.shape = placed(owned.shape, laid);
          for (ArcVertex& vertex : owned.shape.cut.path.vertices)  // as written, in four decimals
            vertex.at = {std::round(vertex.at.x * 1e4) / 1e4, std::round(vertex.at.y * 1e4) / 1e4};
          input.owned.push_back(std::move(owned));
        }
        const DiePlan again = *plan_dies(input);
        RC_ASSERT(again.dies_to_make == 0);
        RC_ASSERT(again.unused.empty());
        for (const PlannedDie& die : again.dies) RC_ASSERT(!die.seams_estimated);
      },
      4);
}

TEST_CASE("a die of a piece that has been renamed is told by the piece that it fits", "[die_plan]") {
  const BlobStyle blobs = small_style();
  DieRules rules;
  rules.curve.clear();
  DiePlanInput input = input_of(blobs, rules, run_of(3, 2));
  const DiePlan first = *plan_dies(input);
  for (const PlannedDie& die : first.dies) {
    OwnedDie owned = owned_from(die, blobs, input.owned.size());
    if (owned.piece == "vamp") owned.piece = "front";
    input.owned.push_back(std::move(owned));
  }
  const std::size_t vamps = static_cast<std::size_t>(std::count_if(
      input.owned.begin(), input.owned.end(), [](const OwnedDie& one) { return one.piece == "front"; }));
  input.owned.push_back({"other", "strap", {}, OwnedFoot::kBoth});  // as no piece is
  input.owned.back().shape.cut = {blob(77, 9, 30), std::vector<std::uint16_t>(9, 0)};
  const DiePlan again = *plan_dies(input);
  std::size_t told = 0;
  for (const UnusedDie& one : again.unused) {
    const bool front = input.owned[one.owned].piece == "front";
    CHECK((one.why.find("the style has no piece \"front\"; by its outline and work it is the vamp ") == 0) ==
          front);
    told += front ? 1 : 0;
  }
  CHECK(told == vamps);
  CHECK(again.unused.size() == vamps + 1);
  CHECK(std::count_if(again.notes.begin(), again.notes.end(), [&](const std::string& note) {
          return note.find(std::to_string(vamps) + " dies of \"front\" fit the vamp") != std::string::npos;
        }) == 1);
}
