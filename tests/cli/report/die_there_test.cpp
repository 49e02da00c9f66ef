// However many dies are there already, no note grows with them, and each has its row.
#include <algorithm>
#include <catch2/catch.hpp>
#include <set>

#include "cli/report/die_notes.hpp"
#include "cli/report/die_there_table.hpp"
#include "cli/tables/xlsx.hpp"
#include "tests/cli/report/ordered_blobs.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

// An order with this many dies that are there, each of which is to be told in every kind of note.
struct Crowd {
  Ordered o;
  DieOrder order;
  DiePlan plan;

  explicit Crowd(std::size_t count) {
    o.blobs.style.name = "Blob";
    o.put();
    o.rules.quantity = 3;
    o.rules.rule_height = 32.0;
    o.rules.making_tolerance = 0.1;
    o.rules.layers_per_stroke = 4;
    const PlannedDie pattern = o.plan.dies.front();
    plan = o.plan;
    plan.dies.clear();
    std::vector<OwnedDie> owned;
    for (std::size_t k = 0; k < count; ++k) {
      OwnedDie one{"D" + std::to_string(10000 + k), "", pattern.shape, OwnedFoot::kUnknown};
      one.stamp = one.stamp_mirrored = "Blob / vamp / 6 E / " + one.number;
      one.two_edged = k % 2 == 0;
      one.shown = {one.number};
      if (k % 3 == 0) one.number_doubt = "its drawing shows none";
      if (k % 4 == 1) one.rule_height = 10.0 + 0.01 * static_cast<double>(k);
      if (k % 4 == 2) one.bevel = name_of(Bevel::kPiece);
      one.height_assumed = one.bevel_assumed = k % 5 == 0;
      one.says.style = "another";
      one.left_out = {"1 LINE on layer FRAME"};
      owned.push_back(std::move(one));
      PlannedDie die = pattern;
      die.owned = k;
      die.turned = true;
      die.seams_estimated = true;
      die.untold = {true, k % 7 != 0};
      die.hands.mode = k % 2 == 0 ? HandMode::kSymmetric : HandMode::kPair;
      die.make_drawn = false;
      die.make_mirrored = k % 4 == 1;
      die.work.bridges_missing = "1 of 1 bridge has no place";
      plan.dies.push_back(std::move(die));
    }
    const DiePlaces places = die_places(run_of(3, 2), false);
    order = make_die_order(plan, o.blobs.style, o.rules, places, owned);
  }
};

}  // namespace

TEST_CASE("no note of an order grows with the dies that are there, and each of them has a row",
          "[die_there]") {
  const Crowd few(150);
  const Crowd many(300);
  REQUIRE(few.order.notes.size() == many.order.notes.size());
  CHECK(few.order.notes.size() >= 14);  // kinds
  for (std::size_t k = 0; k < few.order.notes.size(); ++k) {
    INFO(many.order.notes[k]);
    CHECK(many.order.notes[k].size() <= few.order.notes[k].size() + 60);
    CHECK(many.order.notes[k].size() < 4000);
  }
  const Table there = dies_there_table(many.order, many.plan);
  std::set<std::string> named;
  for (const auto& row : there.rows) {
    REQUIRE(row.size() == there.columns.size());
    named.insert(std::get<std::string>(row[0].value));
    CHECK(std::get<std::string>(row[6].value) == "restamp");
    CHECK(has(std::get<std::string>(row[16].value), "style \"another\""));
  }
  CHECK(named.size() == many.plan.dies.size());
  CHECK(to_xlsx({die_notes_table(many.order, many.plan), there}, "order").ok());
}
