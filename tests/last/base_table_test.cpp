// A base against the table of the size and width that it is said to be; what a run says of girths and rules.
#include "grading/lasts/base_table.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "grading/lasts/formes/girth_shares.hpp"
#include "grading/lasts/formes/rules_compared.hpp"
#include "grading/lasts/last_set.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

namespace {

const LastSet& base_set() {
  static const LastSet set = [] {
    Checked<LastSet> load =
        load_last_set(test::project_dir() + "/demo-patterns/cindergarth/last.json", {"8", "9"}, {"F"}, {});
    REQUIRE(load.ok());
    return *std::move(load);
  }();
  return set;
}

// The demo's base, 8 F, with its figures alone.
BaseLast figures_of_base() {
  BaseLast base;
  base.definitions = base_set().bases.front().definitions;
  base.values = base_set().bases.front().values;
  base.at = base_set().bases.front().at;
  return base;
}

BaseOnTable looked_at(const BaseLast& base, const std::vector<double>& spread = {}) {
  return base_on_table(base, base_set().spec, base_set().style, spread);
}

std::size_t place_of(const BaseLast& base, const std::string& measure) {
  std::size_t i = 0;
  while (base.definitions[i].measure != measure) ++i;
  return i;
}

}  // namespace

TEST_CASE("a base that is said to be another size or width than it is, is told and told what it measures as",
          "[last][base_table]") {
  BaseLast base = figures_of_base();
  CHECK(looked_at(base).good());
  CHECK(failed_bases(base_set()).empty());
  const SizeWidth home = base.at;
  for (const SizeWidth& at : base_set().style.run.cells()) {
    base.at = at;
    INFO(label_of(at));
    const BaseOnTable on = looked_at(base);
    // What is printed beside it is the table's of that size and width.
    const std::optional<double> asked =
        asked_of_base(base, place_of(base, "ball girth"), base_set().spec, base_set().style.measures);
    CHECK(asked == base_set().style.measures.value(*base_set().style.measures.index("ball girth"), at));
    CHECK(on.good() == same_cell(at, home));
    CHECK(same_cell(on.fits, home));
    if (on.good()) continue;
    CHECK(on.measures_as);
    CHECK(told_of(base, on).find("base " + label_of(at) + ": it measures as 8 F") == 0);
    // A size and a width are 6.35 mm of a ball girth of 247 mm each, over 2 %; a larger size in a narrower
    // width has the same.
    const double steps = ((at.size - home.size).count + (at.width - home.width).count).value();
    if (std::abs(steps) >= 1.0) CHECK(on.failed());
    for (const BaseMiss& miss : on.misses)
      CHECK(miss.asked ==
            Approx(base_set().style.measures.value(*base_set().style.measures.index(miss.measure), at)));
  }
}

TEST_CASE("a base far from its own table is told from half a step on, and fails beyond the limit of a base",
          "[last][base_table]") {
  BaseLast base = figures_of_base();
  const std::size_t ball = place_of(base, "ball girth");
  const double asked =
      base_set().style.measures.value(*base_set().style.measures.index("ball girth"), base.at);
  const auto with_ball = [&](double off, const std::vector<double>& spread = {}) {
    base.values[ball].value = asked + off;
    return looked_at(base, spread);
  };
  const double half = 0.5 * 6.35;
  CHECK(with_ball(half - 0.05).misses.empty());
  CHECK(with_ball(half + 0.05).misses.size() == 1);
  CHECK_FALSE(with_ball(half + 0.05).failed());
  CHECK_FALSE(with_ball(-(0.02 * asked - 0.05)).failed());
  CHECK(with_ball(-(0.02 * asked + 0.05)).failed());
  // What the pitch leaves open is granted.
  std::vector<double> spread(base.definitions.size(), 0.0);
  spread[ball] = 2.0;
  CHECK(with_ball(half + 1.9, spread).misses.empty());
  // Another definition is never compared.
  LastSpec spec = base_set().spec;
  spec.table_definitions["ball girth"] = "taut-string v1";
  with_ball(20.0);
  CHECK(base_on_table(base, spec, base_set().style, {}).misses.empty());
  CHECK_FALSE(asked_of_base(base, ball, spec, base_set().style.measures).has_value());
  // A stick that follows the scale may be longer by its toe.
  BaseLast pointed = figures_of_base();
  pointed.values[place_of(pointed, "stick length")].value += 20.0;
  CHECK_FALSE(looked_at(pointed).failed());
  CHECK_FALSE(looked_at(pointed).good());
}

TEST_CASE("a share of the tread's growth is told where the tread grows, and one that cannot be is known",
          "[last][base_table]") {
  std::vector<MeasureDefinition> definitions(2);
  definitions[0].measure = "tread";
  definitions[1].measure = "waist girth";
  definitions[1].method = Method::kPlaneHull;
  const auto last = [](double tread, double bottom) {
    std::vector<Measured> values(2);
    values[0].value = tread;
    values[1].value = 240.0;
    values[1].bottom = bottom;
    return values;
  };
  const auto share = [&](const std::vector<std::vector<Measured>>& run) {
    return girth_shares(definitions, last(90.0, 70.0), run).at(0);
  };
  // The base alone, and the base made anew, a few thousandths off: nothing is known.
  CHECK_FALSE(share({last(90.0, 70.0)}).of_tread.has_value());
  CHECK_FALSE(share({last(90.001, 69.999)}).of_tread.has_value());
  CHECK(share({last(90.001, 69.999)}).bottom == 70.0);
  CHECK(share({last(92.0, 71.5)}).of_tread == Approx(0.75));
  CHECK_FALSE(impossible(share({last(92.0, 71.5)})));
  CHECK_FALSE(impossible(share({last(92.0, 72.01)})));
  CHECK(impossible(share({last(92.0, 68.5)})));
  CHECK(impossible(share({last(92.0, 73.0)})));
}

TEST_CASE("rules fitted to lasts of one size or one width have no move for the others",
          "[last][base_table]") {
  const LoadedStyle& style = base_set().style;
  FormeTie tie;
  TiedPoint joint;
  joint.name = style.spec.formes.front().points.front().name;
  tie.points = {joint};
  const auto fitted = [&](const std::vector<std::pair<const char*, const char*>>& cells) {
    std::vector<ComparedForme> compared;
    for (const auto& [size, width] : cells) {
      ComparedForme cell;
      cell.at = {*style.scale.size(size), *style.ladder.width(width)};
      cell.points.push_back({joint.name, {}, Vec2{cell.at.size.position.value(), 0.0}});
      compared.push_back(cell);
    }
    const FittedOn on = fitted_on(compared);
    CHECK(on.sizes.size() * on.widths.size() == cells.size());
    return fit_rules(style, tie, 0, compared);
  };
  const std::vector<FittedRule> sizes = fitted({{"8", "F"}, {"9", "F"}});
  REQUIRE(sizes.size() == 1);
  CHECK(sizes[0].per_size.has_value());
  CHECK_FALSE(sizes[0].per_width.has_value());
  const std::vector<FittedRule> widths = fitted({{"8", "F"}, {"8", "G"}});
  REQUIRE(widths.size() == 1);
  CHECK_FALSE(widths[0].per_size.has_value());
  CHECK(widths[0].per_width.has_value());
  const std::vector<FittedRule> both = fitted({{"8", "F"}, {"8", "G"}, {"9", "F"}, {"9", "G"}});
  REQUIRE(both.size() == 1);
  CHECK(both[0].per_size.has_value());
  CHECK(both[0].per_width.has_value());
  CHECK(fitted({{"8", "F"}}).empty());
}

TEST_CASE("a target named twice is refused by its name, also where it is one without being named",
          "[last][base_table]") {
  const Result<LastSpec> twice = read_last_spec(
      R"({"lastwright_last": 1, "style": "s", "bases": [{"file": "l", "size": "8", "width": "F"}],
  "targets": ["ball girth", "tread", "ball girth"]})",
      "last.json");
  REQUIRE_FALSE(twice.ok());
  CHECK(twice.problem().place.pointer == "/targets/2");
  CHECK(twice.problem().message.find("ball girth") != std::string::npos);
  LastSpec spec = base_set().spec;
  spec.bottom_follows_style = true;
  spec.targets.emplace_back("waist width");
  std::vector<Measure> measures = base_set().style.measures.measures();
  measures.push_back(measures.front());
  measures.back().name = "waist width";
  const Result<MeasureTable> table = MeasureTable::build(measures, base_set().style.measures.base());
  REQUIRE(table.ok());
  const BaseLast& base = base_set().bases.front();
  const Result<LastJob> job = plan_job({base}, spec, *table, base_set().style.spec, base.at);
  REQUIRE_FALSE(job.ok());
  CHECK(job.problem().message.find("'waist width' is a target already") != std::string::npos);
}
