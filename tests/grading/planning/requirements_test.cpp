#include "grading/planning/requirements.hpp"

#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <optional>

#include "tests/support/laws.hpp"

namespace lastwright {

namespace {

SupplySpec item(const std::string& name, double stock, double multiple, int lead,
                std::map<std::string, double> of = {}) {
  SupplySpec supply;
  supply.name = name;
  supply.stock = stock;
  supply.multiple = multiple;
  supply.lead = lead;
  supply.of = std::move(of);
  return supply;
}

std::map<int, double> releases(const RequirementsPlan& plan, const std::string& name) {
  std::map<int, double> found;
  for (const ItemPlan& one : plan.items) {
    if (one.name != name) continue;
    for (std::size_t t = 0; t < one.releases.size(); ++t) {
      if (one.releases[t] > 0.0) found[static_cast<int>(t)] = one.releases[t];
    }
  }
  return found;
}

using Lots = std::vector<std::array<double, 4>>;  // there in, ordered in, quantity, missing then

Lots lots(const ItemPlan& plan) {
  Lots found;
  for (const ItemPlan::Lot& lot : plan.lots)
    found.push_back({1.0 * lot.there, 1.0 * lot.order, lot.quantity, lot.missing});
  return found;
}

// Reckoned anew, period by period from long before period 1, as by hand on a sheet of squared paper: what is
// there, what is wanted, what is missing; items stand before all that they are made of. None where a receipt
// comes for a use, but not ahead of it.
std::optional<std::vector<Lots>> by_hand(const std::vector<SupplySpec>& supplies) {
  constexpr int kBefore = 60;
  using Line = std::array<double, 80>;
  std::map<std::string, Line> wanted;
  for (const SupplySpec& one : supplies) wanted[one.name].fill(0.0);
  std::vector<Lots> all;
  for (const SupplySpec& one : supplies) {
    for (const DatedQuantity& need : one.needed)
      wanted[one.name].at(static_cast<std::size_t>(need.period + kBefore)) += need.quantity;
    Line comes{};
    double hand = one.stock;
    for (const DatedQuantity& receipt : one.receipts)
      comes.at(static_cast<std::size_t>(receipt.period + kBefore)) += receipt.quantity;
    Lots found;
    for (int p = one.ahead; p < 80; ++p) {
      hand += comes.at(static_cast<std::size_t>(p - one.ahead));
      const double need = wanted[one.name].at(static_cast<std::size_t>(p));
      const int period = p - one.ahead - kBefore;
      if (need > hand + 1e-9) {
        for (int r = p - one.ahead + 1; r <= p; ++r) {
          if (comes.at(static_cast<std::size_t>(r)) > 0.0) return {};
        }
        const double missing = need - hand;
        const double lot =
            one.multiple > 0.0 ? std::ceil(missing / one.multiple - 1e-9) * one.multiple : missing;
        found.push_back({1.0 * period, 1.0 * (period - *one.lead), lot, missing});
        for (const auto& [part, quantity] : one.of)
          wanted[part].at(static_cast<std::size_t>(period - *one.lead + kBefore)) += quantity * lot;
        hand += lot;
      }
      hand -= need;
    }
    all.push_back(std::move(found));
  }
  return all;
}

}  // namespace

// A textbook problem of six items in three levels (A = 2 B + 3 C, B = F, C = D + E + 2 F), reckoned by hand.
TEST_CASE("a textbook problem to the last figure", "[planning]") {
  std::vector<SupplySpec> supplies{item("A", 20, 0, 1, {{"B", 2}, {"C", 3}}),
                                   item("B", 50, 0, 1, {{"F", 1}}),
                                   item("C", 60, 0, 2, {{"D", 1}, {"E", 1}, {"F", 2}}),
                                   item("D", 25, 50, 1),
                                   item("E", 0, 100, 2),
                                   item("F", 0, 100, 2)};
  supplies[0].needed = {{1, 20}, {2, 20}, {6, 60}, {8, 50}};
  supplies[1].receipts = {{1, 30}};
  const Result<RequirementsPlan> plan = plan_requirements(supplies);
  REQUIRE(plan.ok());
  CHECK(plan->periods == 8);
  using Dated = std::map<int, double>;
  CHECK(releases(*plan, "A") == Dated{{1, 20}, {5, 60}, {7, 50}});
  CHECK(releases(*plan, "B") == Dated{{4, 80}, {6, 100}});
  CHECK(releases(*plan, "C") == Dated{{3, 180}, {5, 150}});
  CHECK(releases(*plan, "D") == Dated{{2, 200}, {4, 150}});
  CHECK(releases(*plan, "E") == Dated{{1, 200}, {3, 200}});
  CHECK(releases(*plan, "F") == Dated{{1, 400}, {2, 100}, {3, 300}, {4, 100}});
  for (const ItemPlan& one : plan->items) {
    for (const ItemPlan::Lot& lot : one.lots) CHECK(lot.late() == 0);
  }
}

TEST_CASE("what should have been ordered before now is late by so many periods", "[planning]") {
  std::vector<SupplySpec> supplies{item("boots", 0, 0, 1, {{"leather", 2}}), item("leather", 5, 10, 3)};
  supplies[0].needed = {{2, 8}};
  const Result<RequirementsPlan> plan = plan_requirements(supplies);
  REQUIRE(plan.ok());
  // The boots are begun in 1, so 16 of leather are needed in 1: 11 are missing, two tens, 3 periods ahead.
  const ItemPlan& leather = plan->items[1];
  CHECK(lots(leather) == Lots{{1, -2, 20.0, 11.0}});
  CHECK(leather.lots[0].late() == 3);
  CHECK(leather.on_hand[1] == 9.0);
}

TEST_CASE("what shall be there before it is needed is late by all that reaches back before now",
          "[planning]") {
  std::vector<SupplySpec> supplies{item("laces", 0, 0, 0), item("felt", 5, 0, 1)};
  for (SupplySpec& supply : supplies) supply.ahead = 2;
  supplies[0].needed = {{1, 4}, {4, 6}};
  supplies[1].needed = {{1, 5}, {2, 1}, {3, 2}};
  const Result<RequirementsPlan> plan = plan_requirements(supplies);
  REQUIRE(plan.ok());
  CHECK(lots(plan->items[0]) == Lots{{-1, -1, 4, 4}, {2, 2, 6, 6}});
  CHECK(plan->items[0].releases == std::vector<double>{4, 0, 6, 0, 0});
  // The stock is enough for what is needed in 1; what is missing is wished in 0 and in 1, each by itself.
  CHECK(lots(plan->items[1]) == Lots{{0, -1, 1, 1}, {1, 0, 2, 2}});
}

// By hand: only the 15 are late; the 40 are wished in period 1.
TEST_CASE("what is on time is not late with what is late", "[planning]") {
  SupplySpec laces = item("laces", 0, 0, 0);
  laces.ahead = 2;
  for (const int use : {1, 2}) {
    laces.needed = {{use, 15.0}, {3, 40.0}};
    const Result<RequirementsPlan> plan = plan_requirements({laces});
    REQUIRE(plan.ok());
    CHECK(lots(plan->items[0]) == Lots{{use - 2.0, use - 2.0, 15, 15}, {1, 1, 40, 40}});
  }
  // A bundle of 50 for the 15 brings 35 of the 40.
  laces.multiple = 50.0;
  const Result<RequirementsPlan> plan = plan_requirements({laces});
  REQUIRE(plan.ok());
  CHECK(lots(plan->items[0]) == Lots{{0, 0, 50, 15}, {1, 1, 50, 5}});
  CHECK(plan->items[0].on_hand == std::vector<double>{35, 45, 45, 45});
}

// A is needed in 1, so ordered in -1, when B must be there; B is ordered in -2 and C, in turn, in -3.
TEST_CASE("what goes into a late part is late by its own lead time beside that of the part", "[planning]") {
  std::vector<SupplySpec> supplies{item("A", 0, 0, 2, {{"B", 1}}), item("B", 0, 0, 1, {{"C", 1}}),
                                   item("C", 0, 0, 1)};
  supplies[0].needed = {{1, 10}, {2, 7}};
  const Result<RequirementsPlan> plan = plan_requirements(supplies);
  REQUIRE(plan.ok());
  CHECK(lots(plan->items[0]) == Lots{{1, -1, 10, 10}, {2, 0, 7, 7}});
  CHECK(lots(plan->items[1]) == Lots{{-1, -2, 10, 10}, {0, -1, 7, 7}});
  CHECK(lots(plan->items[2]) == Lots{{-2, -3, 10, 10}, {-1, -2, 7, 7}});
  CHECK(plan->items[2].lots[0].late() == 4);
  CHECK(plan->items[2].releases == std::vector<double>{17, 0, 0});
}

TEST_CASE("a plan does not reach back before all bounds", "[planning]") {
  std::vector<SupplySpec> supplies{item("A", 0, 0, 1000, {{"B", 1}}), item("B", 0, 0, 1000, {{"C", 1}}),
                                   item("C", 0, 0, 2)};
  supplies[0].needed = {{1, 10}};
  const Result<RequirementsPlan> plan = plan_requirements(supplies);
  REQUIRE(!plan.ok());
  CHECK(plan.problem().message.starts_with(
      "supply \"C\" would have to be ordered 2002 periods before what is sold is needed"));
  supplies[2].lead = 1;
  CHECK(plan_requirements(supplies).ok());
  // Of two that it goes into the one that is begun first counts.
  CHECK_FALSE(supply_levels(
                  {item("A", 0, 0, 1000, {{"C", 1}}), item("B", 0, 0, 0, {{"C", 1}}), item("C", 0, 0, 1002)})
                  .ok());
}

// 100 come for the 20: the 80 that are over are there, and 164 come with the receipt.
TEST_CASE("what is over from an earlier lot does not come with a receipt", "[planning]") {
  SupplySpec laces = item("laces", 0, 100, 2);
  laces.ahead = 1;
  laces.needed = {{5, 20.0}, {7, 244.0}};
  laces.receipts = {{7, 500.0}};
  const Result<RequirementsPlan> plan = plan_requirements({laces});
  REQUIRE(plan.ok());
  const ItemPlan& one = plan->items[0];
  CHECK(lots(one) == Lots{{4, 2, 100, 20}});
  REQUIRE(one.later.size() == 1);
  CHECK(one.later[0].wished == 6);
  CHECK(one.later[0].comes == 7);
  CHECK(one.later[0].quantity == 164.0);
  CHECK(one.gross == std::vector<double>{0, 0, 0, 0, 20, 0, 80, 164});
  CHECK(one.on_hand == std::vector<double>{0, 0, 0, 0, 80, 80, 0, 336});
}

// 30 come in period 4, for a use in period 5; they were wished for period 3.
TEST_CASE("what is on its way is not ordered again because it comes later than wished", "[planning]") {
  SupplySpec laces = item("laces", 10, 0, 1);
  laces.ahead = 2;
  laces.needed = {{5, 50.0}, {6, 5.0}};
  laces.receipts = {{4, 30.0}, {6, 100.0}};
  const Result<RequirementsPlan> plan = plan_requirements({laces});
  REQUIRE(plan.ok());
  const ItemPlan& one = plan->items[0];
  CHECK(one.planned == std::vector<double>{0, 0, 0, 10, 0, 0, 0});  // 50 less 10 in stock and 30 to come
  CHECK(one.on_hand == std::vector<double>{10, 10, 10, 0, 0, 0, 95});
  REQUIRE(one.later.size() == 2);
  CHECK(one.later[0].wished == 3);
  CHECK(one.later[0].comes == 4);
  CHECK(one.later[0].quantity == 30.0);
  CHECK(one.later[1].quantity == 5.0);
}

TEST_CASE("an item that is made of itself is named with its circle", "[planning]") {
  const Result<RequirementsPlan> plan = plan_requirements(
      {item("a", 0, 0, 1, {{"b", 1}}), item("b", 0, 0, 1, {{"c", 1}}), item("c", 0, 0, 1, {{"b", 2}})});
  REQUIRE(!plan.ok());
  CHECK(plan.problem().message == "an item is made of itself: \"b\" is made of \"c\" is made of \"b\"");
  CHECK(plan.problem().place.pointer == "/supplies/b/of");
}

TEST_CASE("nothing runs out and nothing is ordered in vain", "[planning]") {
  test::holds_for_all(
      "stock never below 0; an order is for what is missing, less than one multiple over", [] {
        std::vector<SupplySpec> supplies;
        const int count = *rc::gen::inRange(1, 6);
        for (int i = 0; i < count; ++i) {
          SupplySpec one = item(std::string(1, static_cast<char>('a' + i)), *rc::gen::inRange(0, 50),
                                *rc::gen::element(0, 1, 12, 50), *rc::gen::inRange(0, 4));
          // Made of later ones only, so of none of itself.
          for (int k = i + 1; k < count; ++k) {
            if (*rc::gen::inRange(0, 2) == 1)
              one.of[std::string(1, static_cast<char>('a' + k))] = 0.5 * *rc::gen::inRange(1, 7);
          }
          for (int k = *rc::gen::inRange(0, 4); k > 0; --k)
            one.needed.push_back({*rc::gen::inRange(1, 9), 1.0 * *rc::gen::inRange(1, 60)});
          for (int k = *rc::gen::inRange(0, 2); k > 0; --k)
            one.receipts.push_back({*rc::gen::inRange(1, 9), 1.0 * *rc::gen::inRange(1, 60)});
          supplies.push_back(std::move(one));
        }
        const Result<RequirementsPlan> plan = plan_requirements(supplies);
        RC_ASSERT(plan.ok());
        for (std::size_t i = 0; i < supplies.size(); ++i) {
          const ItemPlan& one = plan->items[i];
          double hand = supplies[i].stock;
          double ordered = 0.0;
          double released = 0.0;
          for (std::size_t t = 0; t < one.gross.size(); ++t) {
            double asked = 0.0;
            for (const DatedQuantity& dated : supplies[i].needed)
              asked += dated.period == static_cast<int>(t) ? dated.quantity : 0.0;
            for (std::size_t k = 0; k < supplies.size(); ++k) {
              const auto use = supplies[k].of.find(supplies[i].name);
              if (use != supplies[k].of.end()) asked += use->second * plan->items[k].releases[t];
            }
            RC_ASSERT(std::abs(asked - one.gross[t]) < 1e-9);
            hand += one.receipts[t] + one.planned[t] - asked;
            RC_ASSERT(hand > -1e-6);
            RC_ASSERT(std::abs(hand - one.on_hand[t]) < 1e-6);
            if (one.planned[t] > 0.0) RC_ASSERT(hand < std::max(supplies[i].multiple, 1e-6));
            ordered += one.planned[t];
            released += one.releases[t];
          }
          RC_ASSERT(std::abs(ordered - released) < 1e-6);
        }
      });
}

TEST_CASE("plans are those that are reckoned by hand before now too", "[planning]") {
  int compared = 0;
  int asked_before = 0;
  test::holds_for_all("lots, when they shall be there and when they are ordered", [&] {
    std::vector<SupplySpec> supplies;
    for (int i = 0; i < 6; ++i) {
      SupplySpec one =
          item(std::string(1, static_cast<char>('a' + i)), *rc::gen::element(0.0, 0.0, 5.0, 33.5),
               *rc::gen::element(0, 0, 1, 5, 12, 50), *rc::gen::inRange(0, 4));
      one.ahead = *rc::gen::element(0, 0, 1, 2);
      for (int k = i + 1; k < std::min(6, i + 4); ++k) {
        if (*rc::gen::inRange(0, 2) == 1)
          one.of[std::string(1, static_cast<char>('a' + k))] = *rc::gen::element(1.0, 2.0, 0.5);
      }
      if (*rc::gen::inRange(0, 3) == 0)
        one.receipts.push_back({*rc::gen::inRange(1, 7), 1.0 * *rc::gen::inRange(1, 41)});
      for (int k = i < 2 ? 3 : *rc::gen::inRange(0, 2); k > 0; --k)
        one.needed.push_back({*rc::gen::inRange(1, 15), 1.0 * *rc::gen::inRange(1, 61)});
      supplies.push_back(std::move(one));
    }
    const Result<RequirementsPlan> plan = plan_requirements(supplies);
    RC_ASSERT(plan.ok());
    const std::optional<std::vector<Lots>> expected = by_hand(supplies);
    if (!expected) return;
    ++compared;
    for (std::size_t i = 0; i < supplies.size(); ++i) {
      const Lots got = lots(plan->items[i]);
      RC_ASSERT(got.size() == (*expected)[i].size());
      for (std::size_t k = 0; k < got.size(); ++k) {
        for (std::size_t figure = 0; figure < 4; ++figure)
          RC_ASSERT(std::abs(got[k].at(figure) - (*expected)[i][k].at(figure)) < 1e-6);
        asked_before += got[k][0] < 1.0 ? 1 : 0;
      }
    }
  });
  CHECK(compared > 20);
  CHECK(asked_before > compared);
}

TEST_CASE("what is on its way is counted, however far ahead things shall be there", "[planning]") {
  test::holds_for_all(
      "nothing runs out at its use; what stock and receipts bring in time is not ordered", [] {
        SupplySpec one =
            item("a", *rc::gen::inRange(0, 50), *rc::gen::element(0, 1, 12), *rc::gen::inRange(0, 3));
        one.ahead = *rc::gen::inRange(0, 4);
        for (int k = *rc::gen::inRange(1, 5); k > 0; --k)
          one.needed.push_back({*rc::gen::inRange(1, 9), 1.0 * *rc::gen::inRange(1, 60)});
        for (int k = *rc::gen::inRange(0, 4); k > 0; --k)
          one.receipts.push_back({*rc::gen::inRange(1, 9), 1.0 * *rc::gen::inRange(1, 90)});
        const Result<RequirementsPlan> plan = plan_requirements({one});
        RC_ASSERT(plan.ok());
        const ItemPlan& item = plan->items[0];
        double there = one.stock;  // and on its way
        double asked = 0.0;
        double planned = 0.0;
        double missing = 0.0;  // most, without orders
        for (std::size_t t = 0; t < item.gross.size(); ++t) {
          for (const DatedQuantity& dated : one.needed)
            asked += dated.period == static_cast<int>(t) ? dated.quantity : 0.0;
          there += item.receipts[t];
          planned += item.planned[t];
          missing = std::max(missing, asked - there);
          RC_ASSERT(there + planned - asked > -1e-6);
        }
        RC_ASSERT(planned >= missing - 1e-6);
        RC_ASSERT(planned < missing + std::max(one.multiple, 1e-6));
      });
}

}  // namespace lastwright
