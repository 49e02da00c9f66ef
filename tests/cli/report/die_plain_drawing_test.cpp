// Drawings of an order given by themselves: what they say of the die's edges decides, not the rules of the
// day.
#include <algorithm>
#include <catch2/catch.hpp>

#include "cli/report/die_sheet.hpp"
#include "cli/report/die_there_table.hpp"
#include "cli/report/die_words.hpp"
#include "geometry/io/dxf/dxf_write.hpp"
#include "grading/dies/order/die_numbers.hpp"
#include "grading/dies/order/die_order.hpp"
#include "grading/dies/order/die_says.hpp"
#include "grading/jobs/order_job.hpp"
#include "tests/cli/report/ordered_blobs.hpp"
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

namespace {

// The order's die of the vamp for the smallest size, as its drawing shows and says it, in a style whose
// pieces are drawn for the left foot.
struct Plain {
  Ordered o;
  std::vector<std::string> words;
  DieShape shape;
  std::string height;

  Plain() {
    o.blobs.style.name = "Blob";
    o.blobs.style.drawn_foot = "left";
    o.blobs.style.pieces[0].material = "calf";
    o.rules.rule_height = 19.0;
    o.rules.rule_thickness = 2.0;
    o.rules.bevel = Bevel::kWaste;
    o.rules.handle = "none";
    o.rules.making_tolerance = 0.1;
    o.rules.layers_per_stroke = 4;
    o.rules.weight_per_metre = 0.3;
    o.put();
    const DieOrderLine& line = o.line("vamp");
    words = die_words(o.plan.dies[line.die], o.order, line, false);
    words.push_back(line.number + " L");
    shape = o.plan.dies[line.die].shape;
    std::fill(shape.cut.edge.begin(), shape.cut.edge.end(), std::uint16_t{0});
  }
  // What an order says that has this die: what is there, what is not used, and its notes.
  std::string said(const std::vector<std::string>& texts, bool mirror = false) {
    OwnedDie die{"file", "", mirror ? mirrored(shape) : shape, OwnedFoot::kUnknown};
    take_texts(texts, die);
    o.owned = {die};
    read_numbers(o.owned);
    take_stamped_sizes(o.owned, die_places(run_of(3, 2), false));
    o.put();
    std::string all;
    for (const auto& row : dies_there_table(o.order, o.plan).rows) {
      for (const TableCell& cell : row) {
        if (const auto* text = std::get_if<std::string>(&cell.value)) all += *text + "|";
      }
    }
    for (const auto& [number, why] : o.order.unused) all += number + ": " + why + "|";
    for (const std::string& note : o.order.notes) all += note + "|";
    return all;
  }
};

}  // namespace

TEST_CASE("what a drawing says of its die is used, or told where it contradicts", "[die_plain]") {
  Plain plain;
  const std::string sound = plain.said(plain.words);
  CHECK(has(sound, "bears Blob / vamp") == false);
  CHECK(has(sound, "|nothing|nothing|"));  // no contradiction, nothing left out
  CHECK_FALSE(has(sound, "say otherwise"));
  struct Change {
    const char* was;
    const char* now;
    const char* told;
  };
  for (const Change& change :
       {Change{"/ 7 E /", "/ 8 F /", "sizes \"8 F\", and its outline is that of 7 E"},
        Change{"Blob / vamp", "Other / vamp", "style \"Other\", here \"Blob\""},
        Change{"Blob / vamp", "Blob / toe", "piece \"toe\", here \"vamp\""},
        Change{"rule height: 19 mm", "rule height: 25 mm", "|25|"},
        Change{"bevel: on the waste", "bevel: on the piece", "|on the piece|"},
        Change{"either way: 0.1 mm", "either way: 0.4 mm", "|0.4|"},
        Change{"under a stroke: 4", "under a stroke: 2", "|2|"},
        Change{"rule thickness: 2 mm", "rule thickness: 3 mm", "rule thickness \"3 mm\", here \"2 mm\""},
        Change{"material: calf", "material: hide", "material \"hide\", here \"calf\""},
        Change{"handle: none", "handle: oak", "handle \"oak\", here \"none\""},
        Change{"rule outside ", "rule outside 9", "mm of rule outside, its lines have "},
        Change{"D0001", "D0077", "D0077|"}}) {
    std::vector<std::string> words = plain.words;
    for (std::string& text : words) {
      if (const std::size_t at = text.find(change.was); at != std::string::npos)
        text.replace(at, std::string(change.was).size(), change.now);
    }
    INFO(change.now);
    REQUIRE(words != plain.words);
    const std::string said = plain.said(words);
    CHECK(said != sound);
    CHECK(has(said, change.told));
  }
}

TEST_CASE("a drawing that says one foot and shows the other is not used", "[die_plain]") {
  Plain plain;
  const std::string said = plain.said(plain.words, true);
  CHECK(has(said, "its text says L, but its lines are the R of the vamp 7 E"));
  CHECK(plain.o.order.totals.owned == 0);
  std::vector<std::string> right = plain.words;
  for (std::string& text : right) {
    for (const auto& [was, now] : {std::pair{"/ L /", "/ R /"}, std::pair{"drawing: L", "drawing: R"},
                                   std::pair{"D0001 L", "D0001 R"}}) {
      if (const std::size_t at = text.find(was); at != std::string::npos)
        text.replace(at, std::string(was).size(), now);
    }
  }
  CHECK(has(plain.said(right, true), "|R|"));
  CHECK(plain.o.order.totals.owned == 1);
  // Nobody says which foot the piece is drawn for: nothing to hold it against.
  plain.o.blobs.style.drawn_foot.clear();
  plain.said(plain.words, true);
  CHECK(plain.o.order.totals.owned == 1);
}

TEST_CASE("the nicks of a die that does not tell its one size or width say so", "[die_plain]") {
  PlannedDie die;
  CHECK(nicks_words(die).empty());
  die.untold = {true, false};
  CHECK(nicks_words(die) == "none; none tells the size");
  die.untold = {false, true};
  CHECK(nicks_words(die) == "none; none tells the width");
  die.untold = {true, true};
  CHECK(nicks_words(die) == "none; none tells the size or the width");
}
