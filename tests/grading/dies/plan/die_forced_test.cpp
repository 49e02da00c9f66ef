// Ties that the rules force, from their labels to what the order says of them; limits of laps.
#include <algorithm>
#include <catch2/catch.hpp>
#include <map>
#include <set>
#include <string>

#include "grading/dies/die_rules_json.hpp"
#include "grading/dies/order/die_order.hpp"
#include "grading/dies/plan/die_forced.hpp"
#include "grading/dies/plan/die_groups.hpp"
#include "grading/json/schema_outline.hpp"
#include "tests/support/blob_style.hpp"
#include "tests/support/outline_keys.hpp"

using namespace lastwright;
using namespace lastwright::test;
using Catch::Detail::Approx;

namespace {

// How many dies serve these sizes and widths of a piece.
std::size_t dies_for(const DiePlan& plan, const DiePlanInput& input, std::size_t piece,
                     const std::string& from, const std::string& to, const std::string& width) {
  return static_cast<std::size_t>(
      std::count_if(plan.dies.begin(), plan.dies.end(), [&](const PlannedDie& die) {
        return die.piece == piece && std::any_of(die.serves.begin(), die.serves.end(), [&](std::uint32_t d) {
                 const SizeWidth& at = input.places.demands[d];
                 return at.width.label == width && (at.size.label == from || at.size.label == to);
               });
      }));
}

}  // namespace

TEST_CASE("one die of each piece serves what a forced tie holds together, in every width", "[die_forced]") {
  const BlobStyle blobs = small_style();
  DieRules rules;
  rules.curve.clear();
  rules.forced_ties = {{"small parts", {"tongue", "loop"}, {{"8", "8 1/2"}}, {}}};
  const SizeRun run = run_of(5, 2);
  const DiePlanInput input = input_of(blobs, rules, run);
  const Result<DiePlan> plan = plan_dies(input);
  REQUIRE(plan.ok());
  REQUIRE(plan->forced.size() == 1);
  CHECK(plan->forced[0].sets == 2);
  CHECK(plan->forced[0].kept == 2);
  for (const std::size_t piece : {std::size_t{1}, std::size_t{2}}) {
    for (const char* width : {"E", "F"}) CHECK(dies_for(*plan, input, piece, "8", "8 1/2", width) == 1);
  }
  CHECK(failed_checks({}, *plan).empty());
  CHECK(std::any_of(plan->notes.begin(), plan->notes.end(), [](const std::string& note) {
    return note.find("small parts: kept in 2 of 2") != std::string::npos;
  }));
}

TEST_CASE("a forced tie that cannot be kept fails the order and says what would do", "[die_forced]") {
  const BlobStyle blobs = small_style();
  DieRules rules;
  rules.curve.clear();
  rules.forced_ties = {{"vamp", {"vamp"}, {}, {{"E", "F"}}}};
  const SizeRun run = run_of(3, 2);
  const DiePlan plan = *plan_dies(input_of(blobs, rules, run));
  REQUIRE(plan.forced.at(0).missed.size() == 3);  // in each size
  CHECK(plan.forced[0].missed[0].sizes_widths == "E F: 7");
  CHECK(plan.pieces[0].outlines == 6);
  const auto failed = failed_checks({}, plan);
  REQUIRE(failed.size() == 1);
  CHECK(failed[0].check == "forced tie");
  CHECK(failed[0].worst == Approx(3.0));
  CHECK(failed[0].note.find("vamp") != std::string::npos);
}

TEST_CASE("the tolerance at which a die would serve a forced tie is told whatever the curve lists",
          "[die_forced]") {
  BlobStyle blobs = small_style();
  const SizeRun run = run_of(3, 2);
  DieRules rules;
  rules.forced_ties = {{"vamp", {"vamp"}, {}, {{"E", "F"}}}};
  const auto why = [&] { return plan_dies(input_of(blobs, rules, run))->forced.at(0).missed.at(0).why; };
  const std::string with_curve = why();
  rules.curve.clear();
  const std::string without = why();
  CHECK(without == with_curve);
  const std::size_t at = without.find(" mm for 0.3 mm)");
  REQUIRE(at != std::string::npos);
  const double needed = std::stod(without.substr(without.rfind('(', at) + 1));
  CHECK(needed > 0.3);
  rules.tolerance = needed;
  CHECK(plan_dies(input_of(blobs, rules, run))->forced.at(0).kept == 3);
  rules.tolerance = needed - 0.02;
  CHECK(plan_dies(input_of(blobs, rules, run))->forced.at(0).kept < 3);
  // No tolerance makes a hole another.
  blobs.wider_holes = true;
  rules.forced_ties = {{"vamp", {"vamp"}, {{"7 1/2", "8 1/2"}}, {}}};
  rules.tolerance = 0.3;
  SizeRun longer = run_of(5, 2);
  CHECK(plan_dies(input_of(blobs, rules, longer))
            ->forced.at(0)
            .missed.at(0)
            .why.find("whatever the tolerance: they have not the same holes") != std::string::npos);
}

TEST_CASE("forced ties of sizes, widths or pieces that are not there are refused", "[die_forced]") {
  const BlobStyle blobs = small_style();
  const SizeRun run = run_of(3, 2);
  const auto refused = [&](ForcedTieRule one, ForcedTieRule other) {
    DieRules rules;
    rules.curve.clear();
    rules.forced_ties = {std::move(one), std::move(other)};
    const Result<DiePlan> plan = plan_dies(input_of(blobs, rules, run));
    return plan.ok() ? std::string() : plan.problem().message;
  };
  const ForcedTieRule sound{"a", {"loop"}, {{"7", "7 1/2"}}, {}};
  CHECK(refused(sound, {"b", {"tongue"}, {}, {{"E", "F"}}}).empty());
  CHECK(refused(sound, {"b", {"tongue"}, {{"7", "9"}}, {}}).find("no stretch of the run") !=
        std::string::npos);
  CHECK(refused(sound, {"b", {"tongue"}, {{"8", "7"}}, {}}).find("no stretch of the run") !=
        std::string::npos);
  CHECK(refused(sound, {"b", {"tongue"}, {}, {{"E", "K"}}}).find("no width K") != std::string::npos);
  CHECK(refused(sound, {"b", {"loop"}, {}, {{"E", "F"}}}).find("in two forced ties") != std::string::npos);
  CHECK(refused(sound, {"b", {"tongue"}, {{"8", "8"}}, {}}).find("no two sizes") != std::string::npos);

  const auto problems = [&](const std::string& tie) {
    return read_die_rules("{\"lastwright_die_rules\": 1, \"forced_ties\": [" + tie + "]}", "rules.json",
                          blobs.style)
        .problems()
        .size();
  };
  CHECK(problems(R"({"pieces": ["loop", "tongue"], "widths": [["E", "F"]]})") == 0);
  CHECK(problems(R"({"pieces": ["lop"], "widths": [["E", "F"]]})") == 1);
  CHECK(problems(R"({"pieces": ["loop", "loop"], "sizes": [{"from": "7", "to": "8"}]})") == 1);
  CHECK(problems(R"({"pieces": ["loop"]})") == 1);
}

TEST_CASE("groups and forced ties hold for what of them an order for a part has", "[die_forced]") {
  const BlobStyle blobs = small_style();
  SizeRun run = run_of(5, 2);
  run.stated_sizes = run.sizes;
  run.stated_widths = run.widths;
  DieRules rules;
  rules.curve.clear();
  rules.pieces["vamp"].groups = {{"small", "7", "8", {}}, {"large", "8.5", "9", {"E"}}};
  rules.forced_ties = {{"t", {"loop"}, {{"7 1/2", "8 1/2"}}, {}}};
  const PieceSpec& vamp = blobs.style.pieces[0];
  const auto key = [](const DiePlanInput& input, std::uint32_t d) {
    return label_of(input.places.demands[d]);
  };
  const DiePlanInput whole = input_of(blobs, rules, run);
  std::map<std::string, std::uint32_t> group;
  const std::vector<std::uint32_t> of_whole = *tooling_of(whole, vamp);
  for (std::uint32_t d = 0; d < of_whole.size(); ++d) group[key(whole, d)] = of_whole[d];
  CHECK(std::set<std::uint32_t>(of_whole.begin(), of_whole.end()) == std::set<std::uint32_t>{0, 1, 2});
  std::set<std::string> tied;
  const std::vector<ForcedTie> ties_of_whole = *forced_ties(whole);
  for (const std::vector<std::uint32_t>& set : ties_of_whole.at(0).sets) {
    for (const std::uint32_t d : set) tied.insert(key(whole, d));
  }
  CHECK(tied.size() == 6);
  for (unsigned mask = 1; mask < 32; ++mask) {
    std::vector<std::string> sizes;
    for (std::size_t k = 0; k < 5; ++k) {
      if ((mask >> k & 1u) != 0) sizes.push_back(run.sizes[k].label);
    }
    const DiePlanInput part = input_of(blobs, rules, *run.part(sizes, {}));
    const auto tooling = tooling_of(part, vamp);
    const auto ties = forced_ties(part);
    REQUIRE((tooling.ok() && ties.ok()));
    for (std::uint32_t d = 0; d < tooling->size(); ++d) CHECK((*tooling)[d] == group.at(key(part, d)));
    // Of each width what of the stretch is in the part, if that is more than one size.
    std::map<std::string, std::set<std::string>> wanted;
    for (std::uint32_t d = 0; d < part.places.demands.size(); ++d) {
      if (tied.contains(key(part, d))) wanted[part.places.demands[d].width.label].insert(key(part, d));
    }
    std::erase_if(wanted, [](const auto& one) { return one.second.size() < 2; });
    CHECK(ties->at(0).sets.size() == wanted.size());
    for (const std::vector<std::uint32_t>& set : ties->at(0).sets) {
      std::set<std::string> got;
      for (const std::uint32_t d : set) got.insert(key(part, d));
      CHECK(got == wanted.at(part.places.demands[set.front()].width.label));
    }
  }
  // A part without any of a tie says that it ties none there.
  const std::vector<std::string> nine{"9"};
  const DiePlan plan = *plan_dies(input_of(blobs, rules, *run.part(nine, {})));
  CHECK(std::any_of(plan.notes.begin(), plan.notes.end(), [](const std::string& note) {
    return note.starts_with("forced tie t: no two of its sizes and widths are in this order");
  }));
  // What the style's run does not have is refused in a part too.
  for (const ToolingGroup& wrong : {ToolingGroup{"g", "7", "12", {}}, ToolingGroup{"g", "8", "7", {}},
                                    ToolingGroup{"g", "7", "8", {"K"}}}) {
    rules.pieces["vamp"].groups = {wrong};
    CHECK_FALSE(tooling_of(input_of(blobs, rules, *run.part(nine, {})), vamp).ok());
  }
}

TEST_CASE("the outline of the rules names and explains every key", "[die_forced]") {
  CHECK(explained_keys(die_rules_schema(), schema_outline(die_rules_schema())) > 70);
}

TEST_CASE("the order says how far outlines may deviate from their dies", "[die_forced]") {
  DieRules rules;
  CHECK(tolerance_words(rules) == "outlines may deviate from their die by 0.3 mm");
  rules.by_kind["lap"] = 0.45;
  rules.pieces["vamp"].tolerance["throat"] = 0.1;
  CHECK(tolerance_words(rules) ==
        "outlines may deviate from their die by 0.3 mm, lap by 0.45 mm; some edges have a tolerance of their "
        "own");
}

TEST_CASE("seams in which an edge is a lap may have a limit of their own", "[die_forced]") {
  BlobStyle blobs = small_style();
  blobs.style.pieces[1].edges[2].treatment = Treatment::kLap;
  SeamSpec seam;
  seam.name = "tongue to loop";
  seam.one = {"tongue", "front"};
  seam.other = {"loop", "front"};
  blobs.style.seams.push_back(seam);
  DieRules rules;
  rules.curve.clear();
  const SizeRun run = run_of(4, 2);
  const auto limit = [&] { return plan_dies(input_of(blobs, rules, run))->seams.at(0).limit; };
  CHECK(limit() == Approx(blobs.style.seam_limit.value()));
  rules.lap_seam_limit = 0.2;
  CHECK(limit() == Approx(0.2));
  rules.seam_limits["tongue to loop"] = 0.15;
  CHECK(limit() == Approx(0.15));
  rules.seam_limits.clear();
  blobs.style.pieces[1].edges[2].treatment = Treatment::kRaw;
  CHECK(limit() == Approx(blobs.style.seam_limit.value()));
}

TEST_CASE("tolerances are taken one by one or with commas, and what could be a decimal comma is refused",
          "[die_rules]") {
  const auto set = [](const std::vector<std::string>& typed) {
    DieRules rules;
    rules.by_kind["raw"] = 0.9;
    const Status done = set_tolerances(rules, typed);
    std::string text = done ? tolerance_words(rules) : done.problem().message;
    return text;
  };
  const std::string both = "outlines may deviate from their die by 0.3 mm, lasting by 0.5 mm";
  CHECK(set({"0.3,lasting=0.5"}) == both);
  CHECK(set({"0.3", "lasting=0.5"}) == both);
  CHECK(set({"lasting=0.5,lap=0.4"}) == set({"lasting=0.5", "lap=0.4"}));
  CHECK(set({"lasting=0.5"}).find("raw by 0.9 mm") !=
        std::string::npos);  // what the rules say of others stays
  for (const std::vector<std::string>& typed : std::vector<std::vector<std::string>>{{"1,5"},
                                                                                     {"lasting=1,5"},
                                                                                     {"0.3,0.4"},
                                                                                     {"0.3", "0.4"},
                                                                                     {"lasting=0.5", "0.3"},
                                                                                     {"lasting=0.5,0.3"}})
    CHECK(set(typed).find("would be a tolerance for all edges") != std::string::npos);
  CHECK(set({"lasting=0.5", "lasting=0.6"}).find("two tolerances of \"lasting\"") != std::string::npos);
  for (const char* typed : {"0,3", "0.3,", "", ",lasting=0.5", "lasting=0.5,", "0.3,nosuch=0.5"})
    CHECK(set({typed}).find(" by ") == std::string::npos);
}
