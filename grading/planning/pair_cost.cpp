#include "grading/planning/pair_cost.hpp"

#include <algorithm>

namespace lastwright {

namespace {

constexpr double kPricedDm2 = 1e4;          // mm^2
constexpr double kPricedFoot = 9.290304e4;  // mm^2, exactly

// In the unit of the price; nothing where the works file lacks a figure that this needs.
std::optional<double> quantity_of(const PairNeed& need, const PriceSpec& price) {
  if (price.per == "dm2" && need.buy) return *need.buy / kPricedDm2;
  if (price.per == "sq ft" && need.buy) return *need.buy / kPricedFoot;
  if (price.per == "dm2" || price.per == "sq ft") return {};
  return need.units;
}

void add_parts(const WorksSpec& works, PairCost& cost) {
  for (const SupplySpec& supply : works.supplies) {
    const bool taken = supply.styles.empty() || std::find(supply.styles.begin(), supply.styles.end(),
                                                          cost.style) != supply.styles.end();
    if (!taken) continue;
    if (supply.per_case) cost.missing.push_back(supply.name + ": goes by the case");
    if (!supply.per_pair) continue;
    if (supply.price) {
      cost.parts += *supply.price * *supply.per_pair;
    } else {
      cost.missing.push_back(supply.name + ": no price");
    }
  }
}

}  // namespace

std::vector<PairCost> pair_costs(const std::vector<PairNeed>& more, const WorksSpec& works) {
  std::vector<PairCost> costs;
  const bool priced = std::any_of(works.materials.begin(), works.materials.end(),
                                  [](const auto& one) { return one.second.price.has_value(); }) ||
                      std::any_of(works.supplies.begin(), works.supplies.end(),
                                  [](const SupplySpec& one) { return one.price.has_value(); });
  if (!priced) return costs;
  for (const PairNeed& need : more) {
    auto cost = std::find_if(costs.begin(), costs.end(), [&](const PairCost& one) {
      return one.style == need.style && one.size == need.size && one.width == need.width;
    });
    if (cost == costs.end()) {
      costs.push_back({need.style, need.size, need.width});
      cost = costs.end() - 1;
      add_parts(works, *cost);
    }
    const std::string name = need.material.empty() ? "pieces without a material" : need.material;
    const auto material = works.materials.find(need.material);
    if (material == works.materials.end() || !material->second.price) {
      cost->missing.push_back(name + ": no price");
      continue;
    }
    const std::optional<double> quantity = quantity_of(need, *material->second.price);
    if (quantity) {
      cost->materials += *quantity * material->second.price->amount;
    } else {
      cost->missing.push_back(name + ": no hide is given");
    }
  }
  return costs;
}

}  // namespace lastwright
