#include "grading/planning/requirements.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "grading/json/json_text.hpp"

namespace lastwright {

namespace {

// What each supply goes into, and what is made of which.
class SupplyTree {
 public:
  explicit SupplyTree(const std::vector<SupplySpec>& supplies) : supplies_(supplies), into_(supplies.size()) {
    for (std::size_t i = 0; i < supplies.size(); ++i) index_[supplies[i].name] = i;
  }

  Result<std::vector<int>> levels() {
    for (std::size_t i = 0; i < supplies_.size(); ++i) {
      for (const auto& [part, quantity] : supplies_[i].of) {
        const auto found = index_.find(part);
        if (found == index_.end()) return at(i, bad_value("there is no supply \"" + part + "\""), "/of");
        into_[found->second].push_back(i);
      }
    }
    std::vector<int> level(supplies_.size(), 0);
    std::vector<int> back(supplies_.size(), 0);  // periods before what is sold is needed
    std::vector<std::size_t> waits(supplies_.size());
    std::vector<std::size_t> known;  // of which all that they go into is known
    for (std::size_t i = 0; i < supplies_.size(); ++i) {
      waits[i] = into_[i].size();
      if (waits[i] == 0) known.push_back(i);
    }
    for (std::size_t k = 0; k < known.size(); ++k) {
      const std::size_t item = known[k];
      back[item] += supplies_[item].ahead + supplies_[item].lead.value_or(0);
      if (back[item] > kMostBefore) return at(item, too_far(item, back[item]), "");
      for (const auto& [part, quantity] : supplies_[item].of) {
        const std::size_t below = index_.at(part);
        level[below] = std::max(level[below], level[item] + 1);
        back[below] = std::max(back[below], back[item]);
        if (--waits[below] == 0) known.push_back(below);
      }
    }
    if (known.size() < supplies_.size()) return circle(waits);
    return level;
  }
  [[nodiscard]] std::size_t index_of_name(const std::string& name) const { return index_.at(name); }

 private:
  [[nodiscard]] Problem at(std::size_t item, Problem problem, const std::string& key) const {
    problem.place.pointer = pointer_to("/supplies", supplies_[item].name) + key;
    return problem;
  }

  [[nodiscard]] Problem too_far(std::size_t item, int periods) const {
    return bad_value(
        fmt::format("supply \"{}\" would have to be ordered {} periods before what is sold is needed, by "
                    "lead times and \"ahead\" of all that it goes into; at most {} are planned",
                    supplies_[item].name, periods, kMostBefore));
  }

  // What waits goes into something that waits; upwards from any of them there is a circle.
  [[nodiscard]] Problem circle(const std::vector<std::size_t>& waits) const {
    const auto first = std::find_if(waits.begin(), waits.end(), [](std::size_t one) { return one > 0; });
    std::vector<std::size_t> path;
    std::vector<bool> seen(waits.size(), false);
    auto item = static_cast<std::size_t>(first - waits.begin());
    for (; !seen[item]; item = *std::find_if(into_[item].begin(), into_[item].end(),
                                             [&](std::size_t above) { return waits[above] > 0; })) {
      seen[item] = true;
      path.push_back(item);
    }
    std::vector<std::size_t> ring(std::find(path.begin(), path.end(), item),
                                  path.end());  // each into the next
    std::reverse(ring.begin(), ring.end());
    std::rotate(ring.begin(), std::min_element(ring.begin(), ring.end()), ring.end());
    std::string words = "\"" + supplies_[ring.front()].name + "\"";
    for (std::size_t k = 1; k <= ring.size(); ++k)
      words += " is made of \"" + supplies_[ring[k % ring.size()]].name + "\"";
    return at(ring.front(), bad_value("an item is made of itself: " + words), "/of");
  }

  // So far back a plan may reach: lead times that are not in periods come to more.
  static constexpr int kMostBefore = 2001;

  const std::vector<SupplySpec>& supplies_;
  std::vector<std::vector<std::size_t>> into_;
  std::map<std::string, std::size_t> index_;
};

double to_multiple(double quantity, double multiple) {
  if (multiple <= 0.0) return quantity;
  constexpr double kRounding = 1e-9;  // of a multiple: quantities are sums and products of what was typed
  return multiple * std::ceil(quantity / multiple - kRounding);
}

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

Result<std::vector<int>> supply_levels(const std::vector<SupplySpec>& supplies) {
  return SupplyTree(supplies).levels();
}

Result<RequirementsPlan> plan_requirements(const std::vector<SupplySpec>& supplies) {
  SupplyTree tree(supplies);
  const Result<std::vector<int>> level = tree.levels();
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
    for (const auto& [part, quantity] : supplies[i].of) {
      Dated& below = asked[tree.index_of_name(part)];
      for (const ItemPlan::Lot& lot : plan.items[i].lots) below[lot.order] += quantity * lot.quantity;
    }
  }
  return plan;
}

}  // namespace lastwright
