#include "grading/planning/requirements.hpp"

#include <algorithm>
#include <cmath>

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

// Demand by the period in which it shall be there.
struct Demand {
  std::vector<double> gross;                 // what falls before period 1 is asked for in period 1
  std::vector<std::map<int, double>> early;  // of each entry of `gross`, by the period that was wished
  std::vector<ItemPlan::Later> later;
};

// What is in stock or on its way by the time of its use goes to the earliest use, though it may come later
// than it is wished ahead of that.
Demand sooner(const std::vector<double>& gross, int ahead, const std::vector<double>& receipts,
              double stock) {
  Demand to{std::vector<double>(gross.size(), 0.0), std::vector<std::map<int, double>>(gross.size()), {}};
  std::vector<double> there = receipts;  // not yet given to a use, by the period in which it comes
  there.front() += stock;
  for (std::size_t t = 0; t < gross.size(); ++t) {
    const int wished = static_cast<int>(t) - ahead;
    const auto at = static_cast<std::size_t>(std::max(wished, std::min(static_cast<int>(t), 1)));
    double open = gross[t];
    double as_wished = gross[t];
    for (std::size_t r = 0; r <= t && open > 0.0; ++r) {
      const double taken = std::min(open, there[r]);
      if (taken <= 0.0) continue;
      there[r] -= taken;
      open -= taken;
      if (r <= at) continue;
      as_wished -= taken;
      to.gross[r] += taken;
      to.early[r][static_cast<int>(r)] += taken;
      to.later.push_back({wished, static_cast<int>(r), taken});
    }
    to.gross[at] += as_wished;
    if (as_wished > 0.0) to.early[at][wished] += as_wished;
  }
  return to;
}

// The first of the wished periods for which `there` is not enough: what is there goes to the earliest.
int first_missing(const std::map<int, double>& early, double there, double nothing, int period) {
  for (const auto& [wished, quantity] : early) {
    there -= quantity;
    if (there < -nothing) return std::min(wished, period);
  }
  return period;
}

void plan_item(const SupplySpec& supply, int periods, ItemPlan& plan) {
  const Demand demand = sooner(plan.gross, supply.ahead, plan.receipts, supply.stock);
  plan.gross = demand.gross;
  plan.later = demand.later;
  double on_hand = supply.stock;
  for (int t = 0; t <= periods; ++t) {
    const auto at = static_cast<std::size_t>(t);
    const double there = on_hand + plan.receipts[at];
    on_hand = there - plan.gross[at];
    // Sums of decimal figures end a hair off nothing.
    const double nothing = 1e-9 * (1.0 + plan.gross[at]);
    if (on_hand < -nothing) {
      plan.net[at] = -on_hand;
      const double quantity = to_multiple(-on_hand, supply.multiple);
      plan.planned[at] = quantity;
      on_hand += quantity;
      plan.wished[at] = first_missing(demand.early[at], there, nothing, t);
      const int release = plan.wished[at] - supply.lead.value_or(0);
      plan.releases[static_cast<std::size_t>(std::max(release, 0))] += quantity;
      if (release < 1) plan.late.push_back({plan.wished[at], 1 - release, quantity});
    }
    if (std::abs(on_hand) <= nothing) on_hand = 0.0;
    plan.on_hand[at] = on_hand;
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
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < supplies.size(); ++i) {
    ItemPlan item;
    item.name = supplies[i].name;
    item.level = (*level)[i];
    item.wished.assign(length, 0);
    for (auto* list : {&item.gross, &item.receipts, &item.on_hand, &item.net, &item.planned, &item.releases})
      list->assign(length, 0.0);
    for (const DatedQuantity& dated : supplies[i].needed)
      item.gross[static_cast<std::size_t>(dated.period)] += dated.quantity;
    for (const DatedQuantity& dated : supplies[i].receipts)
      item.receipts[static_cast<std::size_t>(dated.period)] += dated.quantity;
    plan.items.push_back(std::move(item));
    order.push_back(i);
  }
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t one, std::size_t other) { return (*level)[one] < (*level)[other]; });
  for (const std::size_t i : order) {
    plan_item(supplies[i], plan.periods, plan.items[i]);
    for (const auto& [part, quantity] : supplies[i].of) {
      ItemPlan& below = plan.items[levels.index().at(part)];
      for (std::size_t t = 0; t < length; ++t) below.gross[t] += quantity * plan.items[i].releases[t];
    }
  }
  return plan;
}

}  // namespace lastwright
