#include "grading/planning/schedule.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

#include "geometry/counted.hpp"
#include "grading/planning/calendar.hpp"
#include "grading/planning/supply_units.hpp"
#include "grading/planning/works_fit.hpp"

namespace lastwright {

namespace {

using SizedStyle = std::tuple<std::string, std::string, std::string>;  // style, size, width

// What one pair takes of a material, in the unit of its supply.
double per_pair_of(const PieceNeed& need, const SupplySpec& supply, const WorksSpec& works,
                   bool& without_waste) {
  const double pieces = static_cast<double>(need.pieces) / need.pairs;
  const auto found = works.materials.find(need.material);
  const MaterialSpec material = found == works.materials.end() ? MaterialSpec{} : found->second;
  const std::string& unit = supply.unit;
  if (unit == "pieces") return pieces;
  const bool ready_cut = material.bought_as == BoughtAs::kPieces;
  if (!ready_cut && (unit == "dm2" || unit == "sq ft" || unit.empty())) {
    double area = need.material_area.value_or(need.scale);
    without_waste = without_waste || !need.material_area;
    return material.bought_over_taken() * pieces * area / (unit == "sq ft" ? 9.290304e4 : 1e4);
  }
  invariant(need.per_unit.has_value(), "what is laid is counted in rolls, sheets and hides");
  return material.bought_over_taken() * pieces / *need.per_unit;
}

// Of a roll, what so many pairs take of it in whole rows, in the unit of its supply.
double rolled(const PieceNeed& need, const SupplySpec& supply, const MaterialSpec& roll, int pairs) {
  const double metres = roll.bought_over_taken() * need.on_roll_of(pairs).length / 1e3;
  if (supply.unit == "m") return metres;
  return 1e3 * metres * *roll.width / (supply.unit == "sq ft" ? 9.290304e4 : 1e4);
}

// Whether the pieces of a need are bought by the length or the area of a roll.
bool takes_roll(const PieceNeed& need, const SupplySpec& supply, const WorksSpec& works) {
  return need.rows && supply.unit != "pieces" &&
         works.materials.at(need.material).bought_as == BoughtAs::kRoll;
}

// The period in which each numbered case is first wanted.
std::map<std::string, int> first_periods(const Order& order) {
  std::map<std::string, int> first;
  for (const OrderLine& line : order.lines) {
    if (line.case_number.empty() || line.period == 0) continue;
    const auto [found, is_new] = first.emplace(line.case_number, line.period);
    if (!is_new) found->second = std::min(found->second, line.period);
  }
  return first;
}

// Cases of the lines of one period, as the tickets have them: those with a number by the number, in the first
// of their periods; the others by the pairs of each style.
double cases_of(const std::vector<const OrderLine*>& lines, const std::map<std::string, int>& first,
                int pairs_per_case) {
  std::set<std::string> numbered;
  std::map<std::string, int> loose;
  for (const OrderLine* line : lines) {
    if (line->case_number.empty()) {
      loose[line->style] += line->pairs;
    } else if (first.at(line->case_number) == line->period) {
      numbered.insert(line->case_number);
    }
  }
  double count = static_cast<double>(numbered.size());
  for (const auto& [style, pairs] : loose) count += std::ceil(static_cast<double>(pairs) / pairs_per_case);
  return count;
}

// Two of a period and quantity may be one that was written twice.
void tell_twice(const WorksSpec& works, std::vector<std::string>& notes) {
  for (const SupplySpec& supply : works.supplies) {
    for (const auto& [list, what] : {std::pair(&supply.receipts, "receipt"), {&supply.needed, "need"}}) {
      std::set<std::pair<int, double>> seen;
      std::set<std::pair<int, double>> told;
      for (const DatedQuantity& one : *list) {
        const std::pair at(one.period, one.quantity);
        if (seen.insert(at).second || !told.insert(at).second) continue;
        notes.push_back(fmt::format("{}: a {} of {:.6g} in period {} is stated more than once: each counts",
                                    supply.name, what, one.quantity, one.period));
      }
    }
  }
}

bool takes(const SupplySpec& supply, const std::string& style) {
  return supply.styles.empty() ||
         std::find(supply.styles.begin(), supply.styles.end(), style) != supply.styles.end();
}

// What is to be ordered without a word of how long it takes to come.
void tell_leads(Schedule& schedule) {
  std::string names;
  for (const SupplySpec& supply : schedule.supplies) {
    const bool ordered = std::any_of(schedule.orders.begin(), schedule.orders.end(),
                                     [&](const PlacedOrder& order) { return order.item == supply.name; });
    if (!supply.lead && ordered) names += (names.empty() ? "" : ", ") + supply.name;
  }
  if (!names.empty()) schedule.notes.push_back("no lead time is stated: 0 periods are taken for " + names);
}

// They move dates before period 1 alone.
void tell_early_holidays(const WorksSpec& works, std::vector<std::string>& notes) {
  if (!works.calendar) return;
  const std::optional<long> first = day_number(works.calendar->first);
  std::string days;
  std::size_t count = 0;
  for (const long day : works.calendar->holidays) {
    if (!first || day >= *first) continue;
    constexpr std::size_t kMostNamed = 5;
    if (++count <= kMostNamed) days += (days.empty() ? "" : ", ") + day_text(day);
  }
  if (count > 0)
    notes.push_back(fmt::format("{} before the calendar begins on {} ({}{}): of no use for what is to come",
                                counted(count, "holiday lies", "holidays lie"), works.calendar->first, days,
                                count > 5 ? " ..." : ""));
}

// What comes later than it is wished ahead of its use, because it is on its way.
void tell_later(Schedule& schedule) {
  for (const ItemPlan& item : schedule.plan.items) {
    for (const ItemPlan::Later& one : item.later)
      schedule.notes.push_back(fmt::format(
          "{}: {:.6g} of it would be there ahead of their use in period {} and come with your receipt of "
          "period {}, in time for the use: nothing is ordered instead",
          item.name, one.quantity, one.wished, one.comes));
  }
}

void add_orders(Schedule& schedule) {
  for (std::size_t i = 0; i < schedule.supplies.size(); ++i) {
    const SupplySpec& supply = schedule.supplies[i];
    const ItemPlan& item = schedule.plan.items[i];
    for (const ItemPlan::Lot& lot : item.lots)
      schedule.orders.push_back(
          {supply.name, supply.supplier, supply.unit, lot.quantity, lot.order, lot.there, lot.missing});
    Waiting waiting{supply.name, 0, 0.0};
    int run = 0;
    for (std::size_t t = 1; t < item.on_hand.size(); ++t) {
      run = item.on_hand[t] > 0.0 ? run + 1 : 0;
      waiting.periods = std::max(waiting.periods, run);
      waiting.total += item.on_hand[t];
    }
    if (waiting.periods > 0) schedule.waiting.push_back(waiting);
  }
  std::stable_sort(
      schedule.orders.begin(), schedule.orders.end(),
      [](const PlacedOrder& one, const PlacedOrder& other) { return one.period < other.period; });
  std::stable_sort(schedule.waiting.begin(), schedule.waiting.end(),
                   [](const Waiting& one, const Waiting& other) { return one.periods > other.periods; });
}

}  // namespace

Result<Schedule> schedule_of(const Order& order, const Needs& needs, const WorksSpec& works) {
  Schedule schedule;
  schedule.supplies = works.supplies;
  std::map<int, std::vector<const OrderLine*>> by_period;
  std::set<long> rows;  // without a period
  for (const OrderLine& line : order.lines) {
    if (line.period > 0) {
      by_period[line.period].push_back(&line);
    } else {
      rows.insert(line.line);
    }
  }
  schedule.without_period.assign(rows.begin(), rows.end());
  std::set<std::string> supplied;
  const std::map<std::string, int> first = first_periods(order);
  for (SupplySpec& supply : schedule.supplies) {
    order_whole(supply, needs, works, schedule.notes);
    std::map<SizedStyle, double> per_pair;
    std::vector<const PieceNeed*> of_roll;
    bool without_waste = false;
    for (const PieceNeed& need : needs.pieces) {
      if (need.material != supply.name) continue;
      const double one = per_pair_of(need, supply, works, without_waste);
      supplied.insert(need.material);
      if (takes_roll(need, supply, works)) {
        of_roll.push_back(&need);
      } else {
        per_pair[{need.style, need.size, need.width}] += one;
      }
    }
    if (without_waste)
      schedule.notes.push_back(fmt::format(
          "{}: scale area only, because no hide is given to reckon second waste from", supply.name));
    if (!of_roll.empty())
      schedule.notes.push_back(
          fmt::format("{}: of its roll whole rows are ordered, for the pieces of each kind, size, width and "
                      "period by themselves; the ends of rolls are in no figure",
                      supply.name));
    for (const auto& [period, lines] : by_period) {
      double quantity = 0.0;
      std::vector<const OrderLine*> taken;
      std::map<SizedStyle, int> pairs;
      for (const OrderLine* line : lines) pairs[{line->style, line->size, line->width}] += line->pairs;
      for (const PieceNeed* need : of_roll) {
        const auto found = pairs.find({need->style, need->size, need->width});
        if (found != pairs.end())
          quantity += rolled(*need, supply, works.materials.at(need->material), found->second);
      }
      for (const OrderLine* line : lines) {
        if (const auto found = per_pair.find({line->style, line->size, line->width}); found != per_pair.end())
          quantity += found->second * line->pairs;
        if (!takes(supply, line->style)) continue;
        quantity += supply.per_pair.value_or(0.0) * line->pairs;
        taken.push_back(line);
      }
      if (supply.per_case) quantity += *supply.per_case * cases_of(taken, first, works.pairs_per_case);
      if (quantity > 0.0) supply.needed.push_back({period, quantity});
    }
  }
  std::string unsupplied;
  for (const MaterialNeed& need : needs.materials) {
    if (supplied.count(need.name) == 0)
      unsupplied += (unsupplied.empty() ? "" : ", ") +
                    (need.name.empty() ? std::string("pieces without a material") : need.name);
  }
  if (!unsupplied.empty())
    schedule.notes.push_back("no supply of this name, so nothing is said of when to order it: " + unsupplied);
  if (order.lines.empty()) {  // else told with the order
    for (const SupplySpec* const supply : unasked_supplies(works, {}))
      schedule.notes.push_back(supply->name + ": " + unasked_words(*supply, {}));
  }
  tell_twice(works, schedule.notes);
  tell_early_holidays(works, schedule.notes);
  Result<RequirementsPlan> plan = plan_requirements(schedule.supplies);
  if (!plan) return plan.problem();
  schedule.plan = *std::move(plan);
  add_orders(schedule);
  tell_leads(schedule);
  tell_later(schedule);
  return schedule;
}

std::size_t supplies_late(const Schedule& schedule) {
  std::set<std::string> late;
  for (const PlacedOrder& order : schedule.orders) {
    if (order.late()) late.insert(order.item);
  }
  return late.size();
}

}  // namespace lastwright
