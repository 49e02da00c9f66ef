// What a drawing says of its die, read back from what a stamp and a drawing have.
#include "grading/dies/order/die_says.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <set>

#include "grading/dies/order/die_stamps.hpp"
#include "tests/support/blob_style.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using namespace lastwright::test;

TEST_CASE("the sizes of a stamp are read back from it", "[die_says]") {
  std::size_t several = 0;
  test::holds_for_all("what was stamped", [&] {
    const SizeRun run = run_of(*rc::gen::inRange(3, 9), *rc::gen::inRange(2, 5));
    const DiePlaces places = die_places(run, false);
    std::set<std::pair<std::string, std::string>> stamped;
    const int count = *rc::gen::inRange(1, 25);
    for (int k = 0; k < count; ++k) {
      const auto& at = places.demands[*rc::gen::inRange<std::size_t>(0, places.demands.size())];
      stamped.emplace(at.size.label, at.width.label);
    }
    const std::string text = stamped_text({stamped.begin(), stamped.end()}, places);
    const auto read = sizes_stamped(text, places);
    RC_ASSERT((std::set<std::pair<std::string, std::string>>(read.begin(), read.end()) == stamped));
    RC_ASSERT(read.size() == stamped.size());
    several += text.find(" to ") != std::string::npos ? 1 : 0;
    RC_ASSERT(sizes_stamped(text + " Z", places).empty());
  });
  CHECK(several > 3);
}

TEST_CASE("a stamp is known by its form, with the word before it or not", "[die_says]") {
  for (const char* before : {"stamp: ", "", "  "}) {
    OwnedDie die;
    take_texts({std::string(before) + "Walk / er / toe cap / E: 8 to 9 / L / D0077", "D0077 L",
                "weight of one die's rule: 0.165 kg"},
               die);
    CHECK(die.weight == 0.165);
    CHECK(die.shown == std::vector<std::string>{"D0077"});
    CHECK(die.says.style == "Walk / er");
    CHECK(die.says.piece == "toe cap");
    CHECK(die.says.sizes == "E: 8 to 9");
    CHECK(die.says.hand == "L");
    CHECK(die.stamp == "Walk / er / toe cap / E: 8 to 9 / L / D0077");
    CHECK(die.says.doubts.empty());
  }
  OwnedDie die;
  take_texts({"D0001 L", "D0001 R", "rule height: 19 mm", "rule height: 25 mm",
              "bevel: not stated, taken to be "
              "on the waste by common practice",
              "making tolerance, either way: 7 mm", "wear a glove / or two"},
             die);
  CHECK(die.says.hand.empty());
  CHECK_FALSE(die.rule_height);
  CHECK(die.bevel == "on the waste");
  CHECK(die.bevel_assumed);
  CHECK(die.says.doubts ==
        std::vector<std::string>{"rule height: 19 mm and 25 mm", "making tolerance: 7 mm", "foot: L and R"});
  CHECK(die.stamp.empty());
}
