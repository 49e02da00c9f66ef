// Figures of another unit are told, each with its key, its value and the unit that it is likely to be of.
#include "grading/dies/die_rules_doubts.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <functional>

#include "grading/dies/die_rules_json.hpp"
#include "tests/support/blob_style.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

struct Slip {
  std::string key;
  std::function<void(DieRules&, double)> set;
  double least;  // of what works have
  double most;
  double times;  // of its unit to the one it is mistaken for
  std::string unit;
};

const std::vector<Slip>& slips() {
  const auto height = [](DieRules& r, double v) { r.rule_height = v; };
  const auto thick = [](DieRules& r, double v) { r.rule_thickness = v; };
  const auto weight = [](DieRules& r, double v) { r.weight_per_metre = v; };
  const auto own = [](DieRules& r, double v) { r.pieces["vamp"].rule_height = v; };
  const auto every = [](DieRules& r, double v) { r.bridge_every = Millimetres(v); };
  const auto lasting = [](DieRules& r, double v) { r.by_kind["lasting"] = v; };
  const auto all = [](DieRules& r, double v) { r.tolerance = v; };
  static const std::vector<Slip> list{
      {"/rule_height", height, 19.0, 50.0, 10.0, "in centimetres it would be"},
      {"/rule_height", height, 19.0, 50.0, 25.4, "in inches it would be"},
      {"/pieces/vamp/rule_height", own, 19.0, 50.0, 10.0, "in centimetres it would be"},
      {"/rule_thickness", thick, 1.0, 3.0, 0.1, "in tenths of a millimetre it would be"},
      {"/weight_per_metre", weight, 0.2, 1.5, 0.001, "in grams it would be"},
      {"/bridge_every", every, 80.0, 200.0, 10.0, "in centimetres it would be"},
      {"/tolerance", all, 0.1, 1.5, 0.001, "in micrometres it would be"},
      {"/tolerance_by_kind/lasting", lasting, 0.1, 1.5, 0.001, "in micrometres it would be"}};
  return list;
}

std::vector<FigureDoubt> doubts_at(const DieRules& rules, const std::string& key) {
  std::vector<FigureDoubt> found = figure_doubts(rules);
  std::erase_if(found, [&](const FigureDoubt& one) { return one.pointer != key; });
  return found;
}

}  // namespace

TEST_CASE("a figure of another unit is told, one that works have is not", "[die_rates]") {
  CHECK(figure_doubts({}).empty());
  int refused = 0;
  test::holds_for_all("told with its key, value and unit", [&] {
    const Slip& slip = *rc::gen::elementOf(slips());
    const double share = 0.01 * *rc::gen::inRange(0, 101);
    const double value = slip.least + share * (slip.most - slip.least);
    DieRules rules;
    slip.set(rules, value);
    RC_ASSERT(figure_doubts(rules).empty());
    const double slipped = value / slip.times;
    slip.set(rules, slipped);
    const std::vector<FigureDoubt> told = doubts_at(rules, slip.key);
    RC_ASSERT(told.size() == 1u);
    refused += told.front().refused ? 1 : 0;
    RC_ASSERT(told.front().message.find(slip.unit) != std::string::npos);
    RC_ASSERT(told.front().message.find("by common practice") != std::string::npos);
  });
  CHECK(refused > 70);
}

TEST_CASE("the weight of rule is held against that of steel as high and as thick", "[die_rates]") {
  test::holds_for_all("from two fifths of a bar to somewhat more than one", [] {
    DieRules rules;
    rules.rule_height = 1.0 * *rc::gen::inRange(19, 51);
    rules.rule_thickness = 0.1 * *rc::gen::inRange(10, 35);
    const double bar = 7.85e-3 * *rules.rule_height * *rules.rule_thickness;  // kg: 7,850 kg/m3
    const double share = 0.01 * *rc::gen::inRange(5, 300);
    rules.weight_per_metre = share * bar;
    RC_PRE(*rules.weight_per_metre > 0.06 && *rules.weight_per_metre < 2.9);
    const bool fits = share > 0.401 && share < 1.299;
    RC_PRE(fits || share < 0.399 || share > 1.301);
    RC_ASSERT(figure_doubts(rules).empty() == fits);
  });
}

TEST_CASE("prices, making tolerances and limits that are hardly meant are to be looked at", "[die_rates]") {
  DieRules rules;
  rules.rates.per_mm = 57.0;
  rules.rates.per_corner = 0.43;
  CHECK(doubts_at(rules, "/rates/per_mm").front().message ==
        "a millimetre of rule at 57 costs more than a corner at 0.43: is it the price of a metre? That is "
        "0.057 a millimetre");
  CHECK(doubts_at(rules, "/rates").size() == 1);  // no currency
  rules.rates.currency = "EUR";
  CHECK(doubts_at(rules, "/rates").empty());
  rules.tolerance = 0.5;
  rules.making_tolerance = 1.9;
  const std::vector<FigureDoubt> made = doubts_at(rules, "/making_tolerance");
  REQUIRE(made.size() == 2);
  CHECK(made.back().message.find("1.9 mm, either way, is more than the 0.5 mm") == 0);
  CHECK_FALSE(made.front().refused);
  rules.limits.inside_corner.value = 300.0;
  CHECK(doubts_at(rules, "/limits/inside_corner").front().refused);
  const Checked<DieRules> read =
      read_die_rules(R"({"lastwright_die_rules": 1, "rule_height": 1.9, "weight_per_metre": 310})",
                     "rules.json", small_style().style);
  REQUIRE(read.problems().size() == 2);
  CHECK(read.problems()[0].place.pointer == "/rule_height");
  CHECK(read.problems()[1].message.find("in grams it would be 0.31 kg") != std::string::npos);
  DieRules typed;
  CHECK_FALSE(set_tolerance(typed, "300"));
}
