// Time-phased requirements: what must be ordered when, so that everything is there when it is needed.
//
// Lot for lot: of each item only what is missing is ordered, rounded up to its multiple, so early that it
// arrives in the period in which it is needed. An item made of others asks for them in the period in which it
// is started, and be it before now. Periods count from 1; what is asked for in period 0 or before is late
// already, each by as much as it needs.
#pragma once

#include <string>
#include <vector>

#include "geometry/result.hpp"
#include "grading/planning/works.hpp"

namespace lastwright {

// One item through the periods 1 to n; index 0 of each list is all that lies before period 1.
struct ItemPlan {
  std::string name;
  std::vector<double> gross;     // asked for, as early as it shall be there; where a receipt that is on its
                                 // way comes later than that, but in time for its use, then
  std::vector<double> receipts;  // scheduled before
  std::vector<double> on_hand;   // projected at the end of the period, planned receipts counted
  std::vector<double> net;       // missing without planned orders
  std::vector<double> planned;   // planned receipts
  std::vector<double> releases;  // by the period in which they must be ordered
  // What is ordered at once, for the need of one period; what its multiple brings above that is for later
  // ones.
  struct Lot {
    int there = 0;  // the period in which it shall be there; below 1 before now
    int order = 0;  // the period in which it must be ordered
    double quantity = 0.0;
    double missing = 0.0;  // of the quantity, what is missing in that period
    [[nodiscard]] int late() const { return order < 1 ? 1 - order : 0; }  // by how many periods
  };
  std::vector<Lot> lots;  // by the period in which they shall be there
  // What is not there "ahead" because it comes with a receipt: nothing is ordered instead.
  struct Later {
    int wished = 0;
    int comes = 0;
    double quantity = 0.0;
  };
  std::vector<Later> later;
  int level = 0;  // how deep it lies below what is sold
};

struct RequirementsPlan {
  int periods = 0;
  std::vector<ItemPlan> items;  // in the order of the supplies
};

// How deep each supply lies below what is sold. Fails where one is made of a supply that there is not, or of
// itself, through others or not: the Problem names the circle; and where lead times reach too far back. It
// has the place in a works file.
Result<std::vector<int>> supply_levels(const std::vector<SupplySpec>& supplies);

// Demand from outside stands in `needed` of each supply. Fails where supply_levels does.
Result<RequirementsPlan> plan_requirements(const std::vector<SupplySpec>& supplies);

}  // namespace lastwright
