#include "cli/planning/works_doubts.hpp"

#include <algorithm>
#include <catch2/catch.hpp>

using namespace lastwright;

TEST_CASE("what tickets print is held against \"cutting\" where they print it: of what is laid on hides",
          "[planning]") {
  LoadedOrder order;
  order.loaded.push_back(std::make_unique<LoadedStyle>());
  order.loaded[0]->spec.pieces.resize(1);
  order.loaded[0]->spec.pieces[0].name = "vamp";
  order.loaded[0]->spec.pieces[0].material = "felt";
  order.works.zones["vamp"] = "belly";
  order.works.cutting["vamp"].zones = {"best"};
  const auto told = [&] {
    const std::vector<Problem> doubts = works_doubts(order);
    return std::count_if(doubts.begin(), doubts.end(),
                         [](const Problem& one) { return one.place.pointer == "/zones/vamp"; });
  };
  CHECK(told() == 1);  // the works file does not state it
  order.works.materials["felt"].bought_as = BoughtAs::kHides;
  CHECK(told() == 1);
  for (const BoughtAs bought : {BoughtAs::kRoll, BoughtAs::kSheets, BoughtAs::kPieces}) {
    order.works.materials["felt"].bought_as = bought;
    CHECK(told() == 0);
  }
}
