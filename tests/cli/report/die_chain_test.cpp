// Orders one after another: the folder of each stands for all dies that were there before it too.
#include <algorithm>
#include <catch2/catch.hpp>
#include <set>
#include <string>
#include <vector>

#include "cli/drawings/die_files.hpp"
#include "cli/report/die_sheet.hpp"
#include "grading/dies/order/die_order_json.hpp"
#include "grading/dies/order/ordered_die.hpp"
#include "grading/jobs/order_job.hpp"
#include "tests/cli/scratch_folder.hpp"
#include "tests/support/blob_style.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

using OwnedFolders = std::vector<std::string>;

class Works {
 public:
  explicit Works(const DieRules& rules) : rules_(rules) {}

  // The order of the first so many sizes, as JSON without the drawings' places.
  std::string order(int sizes, const OwnedFolders& owned) {
    const auto there = load_earlier_dies(owned);
    REQUIRE(there);
    DiePlanInput input = input_of(blobs_, rules_, run_of(sizes, 2));
    input.owned = owned_of(*there);
    plan = *plan_dies(input);
    made = make_die_order(plan, blobs_.style, rules_, input.places, input.owned);
    handed = handed_on(*there, plan, made, input.places);
    return die_order_json(made, plan, std::vector<DieFile>(made.lines.size()), handed);
  }
  std::string put(int sizes, const OwnedFolders& owned) {
    order(sizes, owned);
    const std::string folder = scratch_ / std::to_string(folders_++);
    auto set = OutputSet::begin(folder, {.durable = false});
    REQUIRE(set);
    REQUIRE(add_die_files(made, plan, rules_, {}, 1, handed, *set));
    REQUIRE(set->commit());
    return folder;
  }
  // The drawing of one of the dies to make, by itself.
  std::string drawing() {
    const auto line = std::find_if(made.lines.begin(), made.lines.end(),
                                   [&](const DieOrderLine& one) { return plan.dies[one.die].make_drawn; });
    REQUIRE(line != made.lines.end());
    const std::string file = scratch_ / "one.dxf";
    lastwright::put(file, *write_checked_dxf(die_sheet(plan.dies[line->die], made, *line, false)));
    return file;
  }
  [[nodiscard]] std::set<std::string> numbers_to_make() const {
    std::set<std::string> numbers;
    for (const DieOrderLine& line : made.lines) {
      if (line.to_make > 0) numbers.insert(line.number);
    }
    return numbers;
  }

  DiePlan plan;
  DieOrder made;
  std::vector<EarlierDie> handed;

 private:
  BlobStyle blobs_ = small_style();
  DieRules rules_;
  ScratchFolder scratch_;
  int folders_ = 0;
};

DieRules rules_at(double tolerance, bool two_edged) {
  DieRules rules;
  rules.curve.clear();
  rules.tolerance = tolerance;
  rules.two_edged = two_edged;
  rules.rule_height = 32.0;
  return rules;
}

}  // namespace

TEST_CASE("the folder of an order stands for the dies that it was given too", "[die_chain][law]") {
  std::size_t restamped = 0;
  for (const double tolerance : {0.02, 1.5}) {
    INFO("tolerance " << tolerance);
    Works works(rules_at(tolerance, tolerance > 1.0));
    const std::string first = works.put(3, {});
    const int made_first = works.plan.dies_to_make;
    const std::set<std::string> numbers_first = works.numbers_to_make();
    REQUIRE(made_first > 0);
    const std::string second = works.put(4, {first});
    const std::set<std::string> numbers_second = works.numbers_to_make();
    for (const DieOrderLine& line : works.made.lines) {
      for (const DieThere& there : line.there) restamped += there.restamp() ? 1 : 0;
    }
    // The third is the same with the second alone, and with both in either order.
    const std::string alone = works.order(5, {second});
    CHECK(works.plan.dies_to_make < made_first);
    const std::set<std::string> numbers_third = works.numbers_to_make();
    for (const std::string& number : numbers_third)
      CHECK((numbers_first.count(number) == 0 && numbers_second.count(number) == 0));
    for (const DieOrderLine& line : works.made.lines) {
      for (const DieThere& there : line.there) CHECK(there.quantity == 1);
    }
    CHECK(works.order(5, {first, second}) == alone);
    CHECK(works.order(5, {second, first}) == alone);
    // So is a fourth with the third alone.
    const std::string third = works.put(5, {second});
    const std::string later = works.order(5, {third});
    CHECK(works.plan.dies_to_make == 0);
    CHECK(works.order(5, {first, second, third}) == later);
    // What was ordered twice counts twice, through the next order as well.
    const std::string twice = works.put(3, {first, first});
    works.order(3, {twice});
    for (const DieOrderLine& line : works.made.lines) {
      for (const DieThere& there : line.there) CHECK(there.quantity == 2);
    }
  }
  CHECK(restamped > 0);
}

TEST_CASE("a drawing by itself is handed on with its number", "[die_chain]") {
  Works works(rules_at(0.02, false));
  works.put(3, {});
  const int all = works.plan.dies_to_make;
  const std::string drawing = works.drawing();
  const std::string second = works.put(3, {drawing});
  CHECK(works.plan.dies_to_make == all - 1);
  works.order(3, {second});
  CHECK(works.plan.dies_to_make == 0);
  const std::string alone = works.order(4, {second});
  CHECK(works.order(4, {drawing, second}) == alone);
}

TEST_CASE("an order that names dies as there and holds none of them is refused", "[die_chain]") {
  const std::string old = R"({"lastwright_die_order": 1, "dies": [{"die": "D0001", "piece": "vamp",
    "owned": true, "owned_as": "D0001", "there_already": [{"die": "D0001", "hand": "L"}]}],
    "owned_not_used": [{"die": "D0007", "why": "none"}, {"die": "a drawing", "why": "none"}]})";
  CHECK(*dies_elsewhere(old, "a.json") == std::vector<std::string>{"D0001", "D0007"});
  const ScratchFolder folder;
  put(folder / "die-order.json", old);
  const auto read = load_earlier_dies({folder / "die-order.json"});
  REQUIRE_FALSE(read);
  CHECK(read.problem().message.find("D0001, D0007") != std::string::npos);
}
