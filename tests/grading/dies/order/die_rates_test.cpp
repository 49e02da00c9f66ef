#include "grading/dies/order/die_rates.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "grading/dies/die_rules_json.hpp"
#include "tests/support/blob_style.hpp"

using namespace lastwright;
using namespace lastwright::test;
using Catch::Detail::Approx;

TEST_CASE("a figure of rule is taken for rule of its own height only", "[die_rates]") {
  const BlobStyle blobs = small_style();
  std::size_t left_blank = 0;
  std::size_t at_another = 0;
  for (int which = 0; which < 32; ++which) {
    if ((which & 24) == 16) continue;  // a height of its own that is not stated
    DieRules rules;
    rules.curve.clear();
    rules.ties = rules.between = false;  // each outline a die: what is asked is its rule
    rules.rule_height = 32.0;
    rules.rates.fixed = 5.0;
    rules.rates.per_mm = 0.06;
    PieceRules& own = rules.pieces["vamp"];
    if ((which & 1) != 0) rules.weight_per_metre = 0.3;
    if ((which & 2) != 0) own.weight_per_metre = 0.5;
    if ((which & 4) != 0) own.per_mm = 0.09;
    if ((which & 8) != 0) own.rule_height = (which & 16) != 0 ? 50.0 : 32.0;
    const bool as_all = own.rule_height.value_or(32.0) == 32.0;
    const DiePlanInput input = input_of(blobs, rules, run_of(3, 2));
    const DiePlan plan = *plan_dies(input);
    const DieOrder order = make_die_order(plan, blobs.style, rules, input.places, {});
    double total = 0.0;
    int blank = 0;
    int vamps = 0;
    for (const DieOrderLine& line : order.lines) {
      const PlannedDie& die = plan.dies[line.die];
      const bool vamp = line.piece == "vamp";
      vamps += vamp ? line.to_make : 0;
      const double metres = (die.facts.rule_outer + die.work.rule_inner) / 1000.0;
      const std::optional<double> rate = vamp && own.weight_per_metre ? own.weight_per_metre
                                         : !vamp || as_all            ? rules.weight_per_metre
                                                                      : std::nullopt;
      INFO(which << " " << line.piece);
      REQUIRE(line.weight.has_value() == rate.has_value());
      if (rate) CHECK(*line.weight == Approx(*rate * metres).epsilon(1e-12));
      if (rate) total += line.to_make * *line.weight;
      if (!rate) blank += line.to_make;
      const double per_mm = vamp ? own.per_mm.value_or(0.06) : 0.06;
      CHECK(line.price == Approx(5.0 + per_mm * die.facts.rule_outer).margin(0.00501));
    }
    CHECK(order.totals.weight.value_or(0.0) == Approx(total).epsilon(1e-12));
    const auto note = [&](const std::string& words) {
      return std::count_if(order.notes.begin(), order.notes.end(),
                           [&](const std::string& one) { return one.starts_with(words); });
    };
    const bool weighed = rules.weight_per_metre || own.weight_per_metre;
    const std::string dies = std::to_string(blank) + (blank == 1 ? " die: " : " dies: ");
    CHECK(note("the weight leaves out " + dies) == (weighed && blank > 0 ? 1 : 0));
    CHECK(note("the weight leaves out") == (weighed && blank > 0 ? 1 : 0));
    const bool other = !as_all && !own.per_mm;
    CHECK(note("the rule of " + std::to_string(vamps) +
               " dies is priced at a \"per_mm\" that is stated for "
               "another height") == (other ? 1 : 0));
    CHECK(note("the rule of") == (other ? 1 : 0));
    left_blank += weighed && blank > 0 ? 1 : 0;
    at_another += other ? 1 : 0;
  }
  CHECK((left_blank > 0 && at_another > 0));
}

TEST_CASE("a piece's own rates are read, and need rates", "[die_rates]") {
  const BlobStyle blobs = small_style();
  const auto read = [&](const std::string& more) {
    return read_die_rules(R"({"lastwright_die_rules": 1, "pieces": {"vamp": {"per_mm": 0.09,
      "weight_per_metre": 0.5}})" +
                              more + "}",
                          "rules.json", blobs.style);
  };
  const Checked<DieRules> sound = read(R"(, "rates": {"per_mm": 0.06})");
  CHECK(sound.ok());
  CHECK(sound->per_mm_of("vamp") == 0.09);
  CHECK(sound->per_mm_of("loop") == 0.06);
  CHECK(sound->rules_of("vamp").weight_per_metre == 0.5);
  CHECK(read("").problems().size() == 1);
}
