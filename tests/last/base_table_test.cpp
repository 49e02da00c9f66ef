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
    LastSetLoad load =
        load_last_set(test::project_dir() + "/demo-patterns/cindergarth/last.json", {"8", "9"}, {"F"}, {});
    REQUIRE(load.set.has_value());
    return std::move(*load.set);
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
    CHECK(told_of(base, on).find("base " + label_of(at) + " measures as 8 F") == 0);
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
