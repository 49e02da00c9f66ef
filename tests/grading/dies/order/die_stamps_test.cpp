#include "grading/dies/order/die_stamps.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <set>
#include <sstream>

#include "grading/dies/order/die_order.hpp"
#include "grading/dies/order/die_stated.hpp"
#include "tests/support/blob_style.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

using StampedPlaces = std::set<std::pair<std::string, std::string>>;

SizeRun stated_run(int sizes, int widths) {
  SizeRun run = run_of(sizes, widths);
  for (Size& size : run.sizes) size.label = to_decimal(size.position);
  run.stated_sizes = run.sizes;
  run.stated_widths = run.widths;
  return run;
}

// What people read in "8 E" and in "E F: 7 to 8; G: 8".
StampedPlaces read_sizes(const std::string& text, const SizeRun& run) {
  StampedPlaces read;
  std::string word;
  if (text.find(':') == std::string::npos) {
    std::istringstream words(text);
    std::string width;
    words >> word >> width;
    return {{word, width}};
  }
  std::istringstream parts(text);
  for (std::string part; std::getline(parts, part, ';');) {
    std::istringstream heads(part.substr(0, part.find(':')));
    std::vector<std::string> widths;
    while (heads >> word) widths.push_back(word);
    std::istringstream stretches(part.substr(part.find(':') + 1));
    for (std::string stretch; std::getline(stretches, stretch, ',');) {
      std::istringstream words(stretch);
      std::string from;
      std::string to;
      words >> from >> word >> to;
      if (to.empty()) to = from;
      bool within = false;
      for (const Size& size : run.stated_sizes) {
        within = within || size.label == from;
        if (!within) continue;
        for (const std::string& width : widths) read.emplace(size.label, width);
        if (size.label == to) break;
      }
    }
  }
  return read;
}

StampedPlaces stamp_says(const std::string& stamp, const SizeRun& run) {
  std::vector<std::string> fields;
  for (std::size_t from = 0; from < stamp.size();) {
    const std::size_t end = std::min(stamp.find(" / ", from), stamp.size());
    fields.push_back(stamp.substr(from, end - from));
    from = end + 3;
  }
  return read_sizes(fields.at(2), run);
}

}  // namespace

TEST_CASE("no size and width loses its only stamp by an order for a part of them", "[die_stamps]") {
  const BlobStyle blobs = small_style();
  DieRules rules;
  rules.curve.clear();
  rules.tolerance = 0.5;
  const SizeRun run = stated_run(5, 2);
  DiePlanInput input = input_of(blobs, rules, run);
  const DiePlan first = *plan_dies(input);
  const DieOrder ordered = make_die_order(first, blobs.style, rules, input.places, {});
  std::vector<OwnedDie> owned;
  for (const DieOrderLine& line : ordered.lines) {
    const PlannedDie& die = first.dies[line.die];
    OwnedDie one{line.number, line.piece, die.shape};
    one.of_a_pair = die.hands.mode == HandMode::kPair;
    one.drawn_as = line.drawn_as;
    one.served = line.sizes_widths;
    one.stamp = line.stamp_drawn;
    one.stamp_mirrored = line.stamp_mirrored;
    CHECK(stamp_says(one.stamp, run) == StampedPlaces(one.served.begin(), one.served.end()));
    owned.push_back(std::move(one));
  }
  rules.tolerance = 1.5;  // each die may now serve more
  const std::vector<OwnedDie> made = owned;
  std::size_t restamped = 0;
  std::size_t kept = 0;
  const auto ask = [&](const std::vector<std::string>& sizes, const std::vector<std::string>& widths) {
    const SizeRun part = *run.part(sizes, widths);
    const DiePlanInput of = part_input(blobs, rules, part, owned);
    const DieOrder order = make_die_order(*plan_dies(of), blobs.style, rules, of.places, owned);
    StampedPlaces asked;
    for (const SizeWidth& at : of.places.demands) asked.emplace(at.size.label, at.width.label);
    std::vector<std::string> stamps;
    for (const OwnedDie& die : owned) stamps.push_back(die.stamp);
    std::set<std::pair<std::string, std::pair<std::string, std::string>>> borne;
    for (const DieOrderLine& line : order.lines) {
      for (const auto& at : line.sizes_widths) {
        if (line.to_make > 0) borne.emplace(line.piece, at);
      }
      for (const DieThere& there : line.there) {
        restamped += there.restamp() ? 1 : 0;
        kept += there.keeps ? 1 : 0;
        CHECK_FALSE((there.keeps && there.restamp()));
        CHECK(there.bears.empty() == false);
        for (std::size_t k = 0; k < owned.size(); ++k) {
          if (owned[k].number != there.number) continue;
          // Its old places outside the part and those that it serves in it, no more and no fewer.
          StampedPlaces wanted(line.sizes_widths.begin(), line.sizes_widths.end());
          for (const auto& at : owned[k].served) {
            if (!asked.contains(at)) wanted.insert(at);
          }
          CHECK(stamp_says(there.stamp, run) == wanted);
          stamps[k] = there.stamp;
        }
      }
    }
    for (std::size_t k = 0; k < owned.size(); ++k) {
      for (const auto& at : stamp_says(stamps[k], run)) borne.emplace(owned[k].piece, at);
    }
    for (const OwnedDie& die : owned) {
      for (const auto& at : die.served) {
        INFO(die.piece << " " << at.first << " " << at.second);
        CHECK(borne.contains({die.piece, at}));
      }
    }
  };
  for (std::size_t lost = 0; lost < 2; ++lost) {  // some are lost, and others serve what they served
    owned.clear();
    for (std::size_t k = 0; k < made.size(); ++k) {
      if (k % 3 != lost) owned.push_back(made[k]);
    }
    for (const Size& size : run.sizes) {
      if (lost == 0) ask({size.label}, {});
    }
    for (const Width& width : run.widths) ask({}, {width.label});
    ask({"7", "8", "9"}, {});
  }
  CHECK(restamped > 10);
  CHECK(kept > 0);

  // What a die bears is not always known: then nothing is said of the rest.
  for (OwnedDie& die : owned) die.stamp = die.stamp_mirrored = "";
  const std::vector<std::string> eight{"8"};
  for (const SizeRun& asked : {*run.part(eight, {}), run}) {
    const DiePlanInput of = part_input(blobs, rules, asked, owned);
    const DieOrder order = make_die_order(*plan_dies(of), blobs.style, rules, of.places, owned);
    const auto line = std::find_if(order.lines.begin(), order.lines.end(),
                                   [](const DieOrderLine& one) { return !one.there.empty(); });
    REQUIRE(line != order.lines.end());
    CHECK((stamps_there(*line).find("leave what it bears of sizes and widths outside this order") !=
           std::string::npos) == (asked.sizes.size() == 1));
  }
}

TEST_CASE("a stretch on a stamp leaves out no size between", "[die_stamps]") {
  const SizeRun run = stated_run(5, 2);
  const std::vector<std::string> some{"7", "8", "9"};
  const std::string e = run.widths[0].label;
  const std::string f = run.widths[1].label;
  const DiePlaces part = die_places(*run.part(some, {}), true);
  CHECK(sizes_text({{"7", e}, {"8", e}, {"9", e}}, part) == e + ": 7, 8, 9");
  const DiePlaces all = die_places(run, true);
  CHECK(sizes_text({{"8", f}, {"7", e}, {"7.5", e}, {"8", e}}, all) == e + ": 7 to 8; " + f + ": 8");
  CHECK(stamped_text({{"8", e}}, all) == "8 " + e);
  // Labels of no run, as of an order for a run that was longer, are neighbours of none.
  CHECK(sizes_text({{"8.5", e}, {"9", e}, {"20", e}, {"20.5", e}}, all) == e + ": 8.5, 9, 20, 20.5");
  CHECK(of_a_part(part));
  CHECK_FALSE(of_a_part(all));
  CHECK(borne_now({{"8.5", e}, {"8", e}, {"20", e}}, {{"7", e}}, part) ==
        SizesWidths{{"7", e}, {"8.5", e}, {"20", e}});
}
