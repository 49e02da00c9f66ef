#include "grading/dies/order/die_numbers.hpp"

#include <algorithm>
#include <catch2/catch.hpp>

#include "geometry/counted.hpp"
#include "grading/dies/order/die_order.hpp"
#include "grading/jobs/owned_dies.hpp"
#include "tests/support/blob_style.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

OwnedDie plain_die(const std::string& file, std::uint64_t seed, std::vector<std::string> shown) {
  OwnedDie die{file, "", {}, OwnedFoot::kUnknown};
  die.shape.cut.path = blob(seed, 12, 40);
  die.shape.cut.edge.assign(die.shape.cut.path.size(), 0);
  die.shown = std::move(shown);
  return die;
}

}  // namespace

TEST_CASE("only a number of the house's form is one", "[die_numbers]") {
  CHECK(number_in("D0009") == "D0009");
  CHECK(number_in("D12345") == "D12345");
  for (const char* other : {"D009", "D0009 L", "E0009", "D000x", "0009", "", "d0009"})
    CHECK_FALSE(number_in(other));
}

TEST_CASE("a plain drawing gets the one number it shows, and no other die does", "[die_numbers]") {
  std::vector<OwnedDie> owned{plain_die("left", 3, {"D0001"}), plain_die("right", 3, {"D0001"}),
                              plain_die("none", 4, {}), plain_die("two", 5, {"D0002", "D0004"})};
  owned[1].shape = mirrored(owned[1].shape);  // the other foot's has the same number
  read_numbers(owned);
  CHECK((owned[0].number == "D0001" && owned[1].number == "D0001"));
  CHECK((owned[0].number_doubt.empty() && owned[1].number_doubt.empty()));
  CHECK((owned[2].number == "none" && owned[2].number_doubt == "its drawing shows none"));
  CHECK((owned[3].number == "two" && owned[3].number_doubt == "its drawing shows several: D0002, D0004"));
  NewNumbers numbers(owned);
  CHECK(numbers.next() == "D0003");
  CHECK(numbers.next() == "D0005");
  const std::vector<std::string> notes = doubted_numbers(owned);
  REQUIRE(notes.size() == 1);
  CHECK(notes[0].ends_with("(none: its drawing shows none; two: its drawing shows several: D0002, D0004)"));
  // Left and right are one of each, not two of one; a drawing named twice is two.
  CHECK(known_of(owned[0], false, owned) == 1);
  owned.push_back(owned[0]);
  CHECK(known_of(owned[0], false, owned) == 2);
}

TEST_CASE("one number on two dies is told, and neither goes by it", "[die_numbers]") {
  std::vector<OwnedDie> owned{plain_die("a", 3, {"D0001"}), plain_die("b", 4, {"D0001"})};
  read_numbers(owned);
  CHECK((owned[0].number == "a" && owned[1].number == "b"));
  CHECK(owned[0].number_doubt == "D0001, which its drawing shows, is that of another die too");
  CHECK(NewNumbers(owned).next() == "D0002");
  // Of an order's die the number is certain.
  owned = {plain_die("a", 3, {"D0001"}), plain_die("D0001", 4, {})};
  owned[1].foot = OwnedFoot::kDrawn;
  read_numbers(owned);
  CHECK((owned[0].number == "a" && owned[1].number == "D0001"));
  CHECK_FALSE(owned[0].number_doubt.empty());
  CHECK(owned[1].number_doubt.empty());
  // The same die turned and moved is no other.
  owned = {plain_die("a", 3, {"D0001"}), plain_die("b", 3, {"D0001"})};
  owned[1].shape = placed(owned[1].shape, Placement{Radians(2.0), {300, -40}});
  read_numbers(owned);
  CHECK((owned[0].number == "D0001" && owned[1].number == "D0001"));
}

TEST_CASE("the other die of a pair has the number that the drawing of the one that is there shows",
          "[die_numbers]") {
  const BlobStyle blobs = small_style();
  DieRules rules;
  rules.curve.clear();
  const SizeRun run = run_of(3, 2);
  DiePlanInput input = input_of(blobs, rules, run);
  const auto vamp_in = [&](std::size_t demand) {
    return die_shape_of(blobs.graded(0, input.places.demands[demand]));
  };
  const auto drawn = [](const char* file, DieShape shape, std::vector<std::string> shown) {
    OwnedDie die{file, "", std::move(shape), OwnedFoot::kUnknown};
    die.shown = std::move(shown);
    return die;
  };
  const auto ordered = [&](std::vector<OwnedDie> owned) {
    read_numbers(owned);
    input.owned = std::move(owned);
    return make_die_order(*plan_dies(input), blobs.style, rules, input.places, input.owned);
  };
  const auto half_there = [](const DieOrder& order) {
    return *std::find_if(order.lines.begin(), order.lines.end(), [](const DieOrderLine& line) {
      return line.there.size() == 1 && line.to_make == 1;
    });
  };
  const auto told = [](const DieOrder& order, const std::string& words) {
    return std::any_of(order.notes.begin(), order.notes.end(),
                       [&](const std::string& note) { return note.find(words) != std::string::npos; });
  };
  const auto bear = [](const DieOrder& order, const std::string& number) {
    return std::count_if(order.lines.begin(), order.lines.end(),
                         [&](const DieOrderLine& line) { return line.number == number; });
  };

  const DieOrder known = ordered({drawn("left", vamp_in(1), {"D0003"})});
  CHECK(half_there(known).number == "D0003");
  CHECK(half_there(known).stamp_drawn.ends_with(" / D0003"));
  CHECK(half_there(known).stamp_mirrored.ends_with(" / D0003"));
  CHECK(bear(known, "D0003") == 1);
  CHECK_FALSE(told(known, "get a new one"));

  const DieOrder unknown = ordered({drawn("left", vamp_in(1), {})});
  CHECK(half_there(unknown).number.starts_with("D0"));
  CHECK(half_there(unknown).stamp_drawn.ends_with(" / " + half_there(unknown).number));
  CHECK(told(unknown, "these pairs get a new one: stamp it on the die that is there too"));
  CHECK(told(unknown, ": " + half_there(unknown).number + " for left, as its drawing shows none)"));

  // Another size's die is told to bear it too: neither goes by it.
  const DieOrder twice = ordered({drawn("a", vamp_in(1), {"D0003"}), drawn("b", vamp_in(4), {"D0003"})});
  CHECK(bear(twice, "D0003") == 0);
  CHECK(told(twice, "for a, as D0003, which its drawing shows, is that of another die too; "));
  // Of two copies of one die the number is no other's.
  CHECK(half_there(ordered({drawn("a", vamp_in(1), {"D0003"}), drawn("b", vamp_in(1), {"D0003"})})).number ==
        "D0003");
}

TEST_CASE("one die that is there for two pairs gives its number to one of them", "[die_numbers]") {
  OwnedDie there = plain_die("a", 3, {"D0003"});
  std::vector<OwnedDie> owned{there};
  read_numbers(owned);
  PlannedDie die;
  die.owned = 0;
  CHECK(pair_number(die, owned, {}).number == "D0003");
  const PairNumber second = pair_number(die, owned, {"D0001", "D0003"});
  CHECK(second.number.empty());
  CHECK(second.why_not == "D0003 is given to another pair that it serves");
  die.hands.mode = HandMode::kTurned;
  CHECK((pair_number(die, owned, {}).number.empty() && pair_number(die, owned, {}).why_not.empty()));
}

TEST_CASE("a list cut short says how many more there are, whatever stands between", "[counted]") {
  const std::vector<std::string> all{"a, 1", "b, 2", "c, 3"};
  CHECK(some_of(all, 3, "; ") == "a, 1; b, 2; c, 3");
  CHECK(some_of(all, 2, "; ") == "a, 1; b, 2; and 1 more");
  CHECK(some_of({"a", "b", "c"}, 1) == "a and 2 more");
  CHECK(some_of({"a", "b"}, 2) == "a, b");
  CHECK(some_of({}, 2, "; ").empty());
}
