#include "grading/planning/requirements.hpp"

#include <catch2/catch.hpp>

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
  for (const ItemPlan& one : plan->items) CHECK(one.late.empty());
}

TEST_CASE("what should have been ordered before now is late by so many periods", "[planning]") {
  std::vector<SupplySpec> supplies{item("boots", 0, 0, 1, {{"leather", 2}}), item("leather", 5, 10, 3)};
  supplies[0].needed = {{2, 8}};
  const Result<RequirementsPlan> plan = plan_requirements(supplies);
  REQUIRE(plan.ok());
  // The boots are begun in 1, so 16 of leather are needed in 1: 11 are missing, two tens, 3 periods ahead.
  const ItemPlan& leather = plan->items[1];
  REQUIRE(leather.late.size() == 1);
  CHECK(leather.late[0].needed == 1);
  CHECK(leather.late[0].periods == 3);
  CHECK(leather.late[0].quantity == 20.0);
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
  const ItemPlan& laces = plan->items[0];
  REQUIRE(laces.late.size() == 1);
  CHECK(laces.late[0].needed == -1);
  CHECK(laces.late[0].periods == 2);
  CHECK(laces.wished[2] == 2);
  CHECK(laces.releases == std::vector<double>{4, 0, 6, 0, 0});
  // The stock is enough for what is needed in 1; what is missing is wished in 0 at the earliest, and in 1.
  const ItemPlan& felt = plan->items[1];
  REQUIRE(felt.late.size() == 1);
  CHECK(felt.late[0].needed == 0);
  CHECK(felt.late[0].periods == 2);
  CHECK(felt.late[0].quantity == 3.0);
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
  CHECK(plan.problem().message.find("\"b\" is made of \"c\" is made of \"b\"") != std::string::npos);
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
