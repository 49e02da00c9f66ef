#include "grading/dies/die_numbers.hpp"

#include <catch2/catch.hpp>

#include "geometry/counted.hpp"
#include "grading/jobs/owned_dies.hpp"
#include "tests/support/blob.hpp"

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

TEST_CASE("a list cut short says how many more there are, whatever stands between", "[counted]") {
  const std::vector<std::string> all{"a, 1", "b, 2", "c, 3"};
  CHECK(some_of(all, 3, "; ") == "a, 1; b, 2; c, 3");
  CHECK(some_of(all, 2, "; ") == "a, 1; b, 2; and 1 more");
  CHECK(some_of({"a", "b", "c"}, 1) == "a and 2 more");
  CHECK(some_of({"a", "b"}, 2) == "a, b");
  CHECK(some_of({}, 2, "; ").empty());
}
