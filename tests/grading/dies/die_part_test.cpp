#include <algorithm>
#include <catch2/catch.hpp>
#include <set>

#include "grading/dies/order/die_order.hpp"
#include "grading/dies/plan/die_plan.hpp"
#include "tests/support/blob_style.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

using At = std::pair<Fraction, Fraction>;

// A run of which not every size is made in every width, each in one at least.
SizeRun some_run(Dice& dice) {
  SizeRun run = run_of(5 + static_cast<int>(dice(0, 2.99)), 2);
  run.stated_sizes = run.sizes;
  run.stated_widths = run.widths;
  if (dice(0, 1) < 0.5) return run;
  run.made.assign(run.sizes.size() * run.widths.size(), true);
  for (std::size_t s = 1; s < run.sizes.size(); ++s) {
    if (dice(0, 1) < 0.4) run.made[s * run.widths.size()] = false;
  }
  return run;
}

SizeRun some_part(const SizeRun& run, Dice& dice) {
  std::vector<std::string> sizes;
  for (const Size& size : run.sizes) {
    if (dice(0, 1) < 0.5) sizes.push_back(size.label);
  }
  if (sizes.empty()) sizes = {run.sizes.front().label, run.sizes.back().label};
  const std::vector<std::string> widths{run.widths.back().label};
  return *run.part(sizes, dice(0, 1) < 0.8 ? widths : std::vector<std::string>());
}

// Each size and width, and what lies half way between neighbours of the lists that are all made.
void add_places(const SizeRun& run, std::set<At>& places) {
  for (std::size_t s = 0; s < run.sizes.size(); ++s) {
    for (std::size_t w = 0; w < run.widths.size(); ++w) {
      for (const std::size_t t : {s, s + 1}) {
        for (const std::size_t v : {w, w + 1}) {
          if (t == run.sizes.size() || v == run.widths.size()) continue;
          if (!run.makes(s, w) || !run.makes(s, v) || !run.makes(t, w) || !run.makes(t, v)) continue;
          places.insert({(run.sizes[s].position + run.sizes[t].position) * Fraction(1, 2),
                         (run.widths[w].position + run.widths[v].position) * Fraction(1, 2)});
        }
      }
    }
  }
}

// The fewest of the sets that hold all rows, by the sets of rows that so many can hold.
int fewest(std::size_t rows, const std::set<std::uint32_t>& sets) {
  std::set<std::uint32_t> held{0};
  for (int count = 0;; ++count) {
    if (held.contains((1u << rows) - 1)) return count;
    std::set<std::uint32_t> more;
    for (const std::uint32_t one : held) {
      for (const std::uint32_t set : sets) more.insert(one | set);
    }
    held = std::move(more);
  }
}

}  // namespace

TEST_CASE("a part of a run has the fewest dies of all places of the run and of the part", "[die_plan]") {
  Dice dice(11);
  DieRules rules;
  rules.curve.clear();
  int saved = 0;
  int drawn_outside = 0;
  for (int round = 0; round < 10; ++round) {
    BlobStyle blobs;
    blobs.add("tongue", 5, 12);
    blobs.add("loop", 8, 8);
    blobs.size_nicks = round % 2 == 1;
    rules.tolerance = dice(0.12, 0.35);
    const SizeRun run = some_run(dice);
    const SizeRun part = some_part(run, dice);
    const std::vector<SizeWidth> demands = part.cells();
    std::set<At> places;
    add_places(run, places);
    add_places(part, places);
    INFO("round " << round << ": " << demands.size() << " of " << run.count());

    const DiePlanInput input = input_at(blobs, rules, part, die_places_with(part, true, {}, &run));
    std::set<At> tried;
    for (const SizeWidth& at : input.places.places) tried.emplace(at.size.position, at.width.position);
    CHECK(tried == places);
    CHECK(input.places.places.size() == places.size());
    const DiePlan plan = *plan_dies(input);
    CHECK(plan.proven);
    const DieOrder order = make_die_order(plan, blobs.style, rules, input.places, {});
    for (std::size_t p = 0; p < 2; ++p) {
      std::vector<DieShape> wanted;
      for (const SizeWidth& at : demands) wanted.push_back(die_shape_of(blobs.graded(p, at)));
      std::vector<const DieShape*> all;
      for (const DieShape& shape : wanted) all.push_back(&shape);
      const ServeTable table(all, rules.tolerances_of(blobs.style.pieces[p]), {});
      std::set<std::uint32_t> sets;
      for (const auto& [size, width] : places) {
        const DieShape die = die_shape_of(blobs.graded(p, {{size, ""}, {width, ""}}));
        std::uint32_t set = 0;
        for (std::uint32_t d = 0; d < demands.size(); ++d) {
          if (table.judged(die, d).ratio <= 1.0) set |= 1u << d;
        }
        sets.insert(set);
      }
      CHECK(plan.pieces[p].outlines == fewest(demands.size(), sets));
    }
    for (const DieOrderLine& line : order.lines) {
      const PlannedDie& die = plan.dies[line.die];
      if (input.places.outside(die.candidate) == nullptr) continue;
      ++drawn_outside;
      // Named as an order of the whole run names it, and drawn as it is there.
      const DiePlaces everywhere = die_places(run, true);
      std::set<std::string> names;
      for (std::size_t place = 0; place < everywhere.places.size(); ++place)
        names.insert(everywhere.label(place));
      CHECK(names.contains(line.drawn_as));
      CHECK(line.drawn_as == input.places.label(die.candidate));
      CHECK(die.shape.size_marks.empty());  // they would tell a size that it does not serve
      CHECK(die.worst_deviation > 0.0);
      CHECK(die.worst_ratio <= 1.0);
    }
    saved += plan_dies(input_at(blobs, rules, part, die_places_with(part, true, {}, nullptr)))->dies_needed -
             plan.dies_needed;
  }
  CHECK(saved > 0);
  CHECK(drawn_outside > 0);
}

TEST_CASE("a place outside a part of which no outline can be made is told, and no die is drawn there",
          "[die_plan]") {
  const BlobStyle blobs = small_style();
  DieRules rules;
  rules.curve.clear();
  SizeRun run = run_of(5, 2);
  run.stated_sizes = run.sizes;
  run.stated_widths = run.widths;
  const std::vector<std::string> sizes{"7", "8"};
  const SizeRun part = *run.part(sizes, {});
  DiePlanInput input = input_at(blobs, rules, part, die_places_with(part, true, {}, &run));
  const DiePlan all = *plan_dies(input);
  const auto told = [](const DiePlan& plan) {
    return std::count_if(plan.untried.begin(), plan.untried.end(), [](const std::string& note) {
      return note.find("no die is tried at") != std::string::npos;
    });
  };
  CHECK(told(all) == 0);
  const OutlineAt outline = input.outline;
  const DiePlaces places = input.places;
  input.outline = [outline, places](std::size_t piece, std::size_t place) -> Result<DieOutline> {
    if (piece == 2 && places.outside(place) != nullptr) return bad_value("none");
    return outline(piece, place);
  };
  const DiePlan plan = *plan_dies(input);
  CHECK(told(plan) == 1);
  for (const PlannedDie& die : plan.dies) CHECK((die.piece != 2 || places.outside(die.candidate) == nullptr));
  CHECK(
      plan.pieces[2].outlines ==
      plan_dies(input_at(blobs, rules, part, die_places_with(part, true, {}, nullptr)))->pieces[2].outlines);
}

TEST_CASE("a whole run has no places outside it", "[die_plan]") {
  Dice dice(4);
  for (int round = 0; round < 8; ++round) {
    const SizeRun run = some_run(dice);
    const DiePlaces plain = die_places(run, true);
    const DiePlaces with = die_places_with(run, true, {}, &run);
    CHECK(with.elsewhere.empty());
    CHECK(with.own == plain.own);
    CHECK(with.places.size() == plain.places.size());
  }
}
