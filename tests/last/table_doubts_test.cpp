// What of a last's table and rules cannot be meant: steps of the wrong sign, rules that contradict the table.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdint>

#include "grading/lasts/last_definitions.hpp"
#include "grading/lasts/rule_table.hpp"
#include "grading/lasts/style_told.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

namespace {

const LoadedStyle& style_of_demo() {
  static const LoadedStyle style = [] {
    Checked<LoadedStyle> load = load_style(test::project_dir() + "/demo-patterns/cindergarth/style.json",
                                {.tables = {}, .drawings = false, .unit = {}, .limits = {}});
    REQUIRE(load.ok());
    return *std::move(load);
  }();
  return style;
}

Measure stepped(const std::string& name, double base, double per_size, double per_width) {
  const auto length = [](double mm) {
    return Quantity{Fraction(static_cast<std::int64_t>(std::llround(1000.0 * mm)), 1000), "", true};
  };
  Measure measure;
  measure.name = name;
  measure.base = length(base);
  measure.per_size = length(per_size);
  measure.per_width = length(per_width);
  return measure;
}

void put_measures(LoadedStyle& style, std::vector<Measure> measures) {
  Result<MeasureTable> table = MeasureTable::build(std::move(measures), style.measures.base());
  REQUIRE(table.ok());
  style.measures = std::move(*table);
}

}  // namespace

TEST_CASE("a girth or width that falls as the length or the width grows is told, and none that grows",
          "[last][set]") {
  CHECK(odd_table_steps(style_of_demo()).empty());
  test::holds_for_all(
      "each of a last's girths and widths is told where its step by size or width is below 0",
      [] {
        const std::vector<std::string> names{"ball girth", "waist girth", "instep girth", "short heel",
                                             "long heel",  "tread",       "seat",         "waist width"};
        LoadedStyle style = style_of_demo();
        std::vector<Measure> measures{stepped("stick length", 280.0, 8.467, 0.0)};
        std::size_t falling = 0;
        std::vector<bool> falls;
        for (const std::string& name : names) {
          const double per_size = 0.1 * *rc::gen::inRange(-60, 61);
          const double per_width = 0.1 * *rc::gen::inRange(-60, 61);
          falling += (per_size < 0.0) + (per_width < 0.0);
          falls.push_back(per_size < 0.0 || per_width < 0.0);
          measures.push_back(stepped(name, 200.0, per_size, per_width));
        }
        measures.push_back(stepped("heel height", 22.0, -0.5, 0.0));  // may well be meant
        put_measures(style, std::move(measures));
        const std::vector<std::string> told = odd_table_steps(style);
        RC_ASSERT(told.size() == falling);
        for (std::size_t i = 0; i < names.size(); ++i) {
          const bool named = std::any_of(told.begin(), told.end(), [&](const std::string& one) {
            return one.starts_with("LOOK: measure step: " + names[i] + " falls by ");
          });
          RC_ASSERT(named == falls[i]);
        }
      },
      30);
}

TEST_CASE("a table that asks a heel height the last's rule does not give is told with the greatest miss",
          "[last][set]") {
  test::holds_for_all(
      "what the table changes a measure by and what the last does are compared from the base",
      [] {
        const std::string measure =
            *rc::gen::elementOf(std::vector<std::string>{"heel height", "toe spring", "toe thickness"});
        const double asked = 0.1 * *rc::gen::inRange(-20, 21);
        const double given = 0.1 * *rc::gen::inRange(-20, 21);
        const double off_base = 0.1 * *rc::gen::inRange(-9, 10);  // told of the base, not of its sizes
        LastSet set;
        set.style = style_of_demo();
        put_measures(set.style,
                     {stepped("stick length", 280.0, 8.467, 0.0), stepped(measure, 22.0, asked, 0.0)});
        BaseLast base;
        base.at = set.style.measures.base().at;
        base.definitions = default_last_definitions();
        base.values.resize(base.definitions.size());
        for (Measured& value : base.values) value.value = 22.0 + off_base;
        double most = 0.0;
        for (int steps = -2; steps <= 3; ++steps) {
          LastResult last;
          last.at = base.at;
          last.at.size.position = last.at.size.position + Fraction(steps);
          for (const MeasureDefinition& d : base.definitions) {
            Measured value;
            value.value = 22.0 + off_base + given * steps;
            last.values.push_back(value);
            const std::optional<std::size_t> row = set.style.measures.index(d.measure);
            last.asked.push_back(row ? set.style.measures.value(*row, last.at) : std::nan(""));
          }
          most = std::max(most, std::abs((given - asked) * steps));
          set.results.push_back(std::move(last));
        }
        set.bases.push_back(std::move(base));
        const std::vector<RuleMiss> misses = rules_off_table(set);
        RC_ASSERT(misses.empty() == (most <= 0.05));
        if (misses.empty()) return;
        RC_ASSERT(misses.size() == 1U);
        RC_ASSERT(misses.front().measure == measure);
        RC_ASSERT(std::abs(std::abs(misses.front().by_last - misses.front().by_table) - most) < 1e-9);
        RC_ASSERT(misses.front().failed() == (most > misses.front().limit));
        RC_ASSERT(misses.front().limit == 1.0);  // 2 % of what is asked is less
        RC_ASSERT(told_of(misses.front(), set).find(measure + ": table and rule contradict") == 0);
      },
      60);
}

TEST_CASE("of a style without pieces every note that is a last maker's is told in full", "[last][set]") {
  LoadedStyle style = style_of_demo();
  style.spec.pieces.clear();
  style.notes = {"not used: /measures/ball girth: no line carries this measure: it stands in the girth table",
                 "not used: /run/widths: odd"};
  const std::vector<std::string> told = told_of_style(style, "style.json");
  REQUIRE(told.size() == 1);
  CHECK(told[0] == "style style.json: not used: /run/widths: odd");
  style.spec.measures.front().name = "stick_length";
  style.notes = {
      "not used: /measures/stick_length: no line carries this measure: it stands in the girth table"};
  CHECK(told_of_style(style, "style.json").at(0) ==
        "style style.json: LOOK: no measure of a last is named 'stick_length': no last is graded or compared "
        "by it");
}
