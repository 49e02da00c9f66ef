#include "grading/planning/requirements.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

namespace lastwright {

namespace {

// How deep each item lies: below everything that is made of it.
class ItemLevels {
 public:
  explicit ItemLevels(const std::vector<SupplySpec>& supplies) : supplies_(supplies) {
    for (std::size_t i = 0; i < supplies.size(); ++i) index_[supplies[i].name] = i;
    level_.assign(supplies.size(), 0);
    state_.assign(supplies.size(), State::kNew);
  }

  Result<std::vector<int>> find() {
    for (std::size_t i = 0; i < supplies_.size(); ++i) {
      if (Status one = visit(i); !one) return one.problem();
    }
    // `order_` ends with what nothing else waits for; from there on levels sink.
    for (auto i = order_.rbegin(); i != order_.rend(); ++i) {
      for (const auto& [part, quantity] : supplies_[*i].of) {
        int& below = level_[index_.at(part)];
        below = std::max(below, level_[*i] + 1);
      }
    }
    return level_;
  }
  [[nodiscard]] const std::map<std::string, std::size_t>& index() const { return index_; }

 private:
  enum class State { kNew, kOpen, kDone };

  Status visit(std::size_t item) {
    if (state_[item] == State::kDone) return Done{};
    path_.push_back(item);
    if (state_[item] == State::kOpen) {
      std::string circle;
      for (auto at = std::find(path_.begin(), path_.end(), item); at != path_.end(); ++at)
        circle += (circle.empty() ? "\"" : " is made of \"") + supplies_[*at].name + "\"";
      return bad_value("an item is made of itself: " + circle);
    }
    state_[item] = State::kOpen;
    for (const auto& [part, quantity] : supplies_[item].of) {
      const auto found = index_.find(part);
      if (found == index_.end()) return bad_value("there is no supply \"" + part + "\"");
      if (Status one = visit(found->second); !one) return one;
    }
    state_[item] = State::kDone;
    path_.pop_back();
    order_.push_back(item);
    return Done{};
  }

  const std::vector<SupplySpec>& supplies_;
  std::map<std::string, std::size_t> index_;
  std::vector<int> level_;
  std::vector<State> state_;
  std::vector<std::size_t> path_;
  std::vector<std::size_t> order_;
};

double to_multiple(double quantity, double multiple) {
  if (multiple <= 0.0) return quantity;
  constexpr double kRounding = 1e-9;  // of a multiple: quantities are sums and products of what was typed
  return multiple * std::ceil(quantity / multiple - kRounding);
}

// So far before period 1 a plan may reach: lead times that are not in periods come to more.
constexpr int kMostBefore = 2000;

using Dated = std::map<int, double>;  // by period; below 1 before now

// Stock is there before anything is asked for, and so is what comes in period 0, which is now.
constexpr int kFromTheStart = std::numeric_limits<int>::min();

// What is there for the needs of an item, in the order of its coming, and not given to any of them.
class There {
 public:
  There(double stock, const std::vector<double>& receipts) {
    comes_[kFromTheStart] = stock + receipts.front();
    for (std::size_t t = 1; t < receipts.size(); ++t) {
      if (receipts[t] > 0.0) comes_[static_cast<int>(t)] = receipts[t];
    }
  }
  void add(int period, double quantity) {
    if (quantity > 0.0) comes_[period] += quantity;
  }
  // Takes what there is by the period `last`, the first first; `taken` hears of each period and quantity.
  template <class Taken>
  double take(double wanted, int last, double nothing, const Taken& taken) {
    while (wanted > nothing && !comes_.empty() && comes_.begin()->first <= last) {
      const auto first = comes_.begin();
      const double part = std::min(wanted, first->second);
      const int period = first->first;
      wanted -= part;
      first->second -= part;
      if (first->second <= nothing) comes_.erase(first);
      if (part > 0.0) taken(period, part);
    }
    return wanted;  // that is not there
  }

 private:
  Dated comes_;
};

std::size_t index_of(int period) {
  return static_cast<std::size_t>(std::max(period, 0));
}

// What is in stock, on its way or over from an earlier lot by the time of its use goes to the earliest use,
// though it may come later than it is wished ahead of that; the rest is a lot.
void plan_item(const SupplySpec& supply, const Dated& asked, ItemPlan& plan) {
  There there(supply.stock, plan.receipts);
  for (const auto& [use, quantity] : asked) {
    const int wished = use - supply.ahead;
    const double nothing = 1e-9 * (1.0 + quantity);  // sums of decimal figures end a hair off nothing
    double as_wished = quantity;
    const double missing = there.take(quantity, use, nothing, [&](int comes, double part) {
      if (comes <= wished) return;
      as_wished -= part;
      plan.gross[index_of(comes)] += part;
      plan.later.push_back({wished, comes, part});
    });
    plan.gross[index_of(wished)] += as_wished;
    if (missing <= nothing) continue;
    const double lot = to_multiple(missing, supply.multiple);
    there.add(wished, lot - missing);
    plan.lots.push_back({wished, wished - supply.lead.value_or(0), lot, missing});
    plan.net[index_of(wished)] += missing;
    plan.planned[index_of(wished)] += lot;
    plan.releases[index_of(plan.lots.back().order)] += lot;
  }
  double on_hand = supply.stock;
  for (std::size_t t = 0; t < plan.gross.size(); ++t) {
    on_hand += plan.receipts[t] + plan.planned[t] - plan.gross[t];
    if (std::abs(on_hand) <= 1e-9 * (1.0 + plan.gross[t])) on_hand = 0.0;
    plan.on_hand[t] = on_hand;
  }
}

}  // namespace

Result<RequirementsPlan> plan_requirements(const std::vector<SupplySpec>& supplies) {
  ItemLevels levels(supplies);
  const Result<std::vector<int>> level = levels.find();
  if (!level) return level.problem();
  RequirementsPlan plan;
  for (const SupplySpec& supply : supplies) {
    for (const auto* list : {&supply.needed, &supply.receipts}) {
      for (const DatedQuantity& dated : *list) plan.periods = std::max(plan.periods, dated.period);
    }
  }
  const auto length = static_cast<std::size_t>(plan.periods) + 1;
  std::vector<Dated> asked(supplies.size());
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < supplies.size(); ++i) {
    ItemPlan item;
    item.name = supplies[i].name;
    item.level = (*level)[i];
    for (auto* list : {&item.gross, &item.receipts, &item.on_hand, &item.net, &item.planned, &item.releases})
      list->assign(length, 0.0);
    for (const DatedQuantity& dated : supplies[i].needed) asked[i][dated.period] += dated.quantity;
    for (const DatedQuantity& dated : supplies[i].receipts)
      item.receipts[static_cast<std::size_t>(dated.period)] += dated.quantity;
    plan.items.push_back(std::move(item));
    order.push_back(i);
  }
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t one, std::size_t other) { return (*level)[one] < (*level)[other]; });
  for (const std::size_t i : order) {
    plan_item(supplies[i], asked[i], plan.items[i]);
    if (!plan.items[i].lots.empty() && plan.items[i].lots.front().order < -kMostBefore)
      return bad_value(
          fmt::format("supply \"{}\" would have to be ordered {} periods before period 1, by lead times "
                      "and \"ahead\" of all that it goes into; at most {} are planned",
                      supplies[i].name, 1 - plan.items[i].lots.front().order, kMostBefore + 1));
    for (const auto& [part, quantity] : supplies[i].of) {
      Dated& below = asked[levels.index().at(part)];
      for (const ItemPlan::Lot& lot : plan.items[i].lots) below[lot.order] += quantity * lot.quantity;
    }
  }
  return plan;
}

}  // namespace lastwright
