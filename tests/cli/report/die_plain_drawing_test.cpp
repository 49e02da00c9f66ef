// Drawings of an order given by themselves: what they say of the die's edges decides, not the rules of the
// day.
#include <algorithm>
#include <catch2/catch.hpp>

#include "cli/report/die_sheet.hpp"
#include "cli/report/die_words.hpp"
#include "geometry/io/dxf_write.hpp"
#include "grading/dies/die_order.hpp"
#include "grading/jobs/order_job.hpp"
#include "tests/cli/scratch_folder.hpp"
#include "tests/support/blob_style.hpp"

using namespace lastwright;
using namespace lastwright::test;

TEST_CASE("a drawing by itself is of a two-edged die, or of one of a pair, as its texts say", "[die_plain]") {
  const BlobStyle blobs = small_style();
  const SizeRun run = run_of(3, 2);
  const ScratchFolder folder;
  std::size_t edged = 0;
  std::size_t paired = 0;
  for (const bool two_edged : {true, false}) {
    DieRules rules;
    rules.curve.clear();
    rules.two_edged = two_edged;
    DiePlanInput input = input_of(blobs, rules, run);
    const DiePlan first = *plan_dies(input);
    const DieOrder ordered = make_die_order(first, blobs.style, rules, input.places, {});
    rules.two_edged = !two_edged;  // the works has changed its mind
    for (const DieOrderLine& line : ordered.lines) {
      if (line.piece == "tongue") continue;
      const PlannedDie& drawn = first.dies[line.die];
      const std::string file = folder / (line.number + ".dxf");
      put(file, *write_checked_dxf(die_sheet(drawn, ordered, line, false)));
      const auto owned = load_owned_dies({file});
      REQUIRE(owned);
      input = input_of(blobs, rules, run);
      input.owned = *owned;
      const DiePlan plan = *plan_dies(input);
      const DieOrder order = make_die_order(plan, blobs.style, rules, input.places, *owned);
      const auto die = std::find_if(plan.dies.begin(), plan.dies.end(),
                                    [](const PlannedDie& one) { return one.owned.has_value(); });
      INFO(line.number << " " << line.piece << " " << two_edged);
      const bool edges = drawn.hands.mode == HandMode::kTwoEdged;
      const bool pair = drawn.hands.mode == HandMode::kPair;
      CHECK((owned->front().two_edged == edges && owned->front().of_a_pair == pair));
      paired += pair ? 1 : 0;
      if (pair && die == plan.dies.end()) continue;  // its other foot's costs as much as one with two edges
      REQUIRE(die != plan.dies.end());
      CHECK(die->hands.mode == drawn.hands.mode);
      CHECK(die->to_make() == (pair ? 1 : 0));
      CHECK(std::any_of(order.notes.begin(), order.notes.end(), [&](const std::string& note) {
              return note.find("are two-edged, as their drawings say") != std::string::npos &&
                     note.find(line.number + " " + line.piece) != std::string::npos;
            }) == edges);
      edged += edges ? 1 : 0;
    }
  }
  CHECK(edged > 0);
  CHECK(paired > 0);
}

TEST_CASE("the nicks of a die that does not tell its one size say so", "[die_plain]") {
  PlannedDie die;
  CHECK(nicks_words(die).empty());
  die.size_untold = true;
  CHECK(nicks_words(die) == "none; none tells the size");
}
