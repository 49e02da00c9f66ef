// What an order asks of the supplies, and when.
#pragma once

#include <string>
#include <vector>

#include "grading/planning/consumption.hpp"
#include "grading/planning/requirements.hpp"

namespace lastwright {

struct PlacedOrder {
  std::string item;
  std::string supplier;
  std::string unit;
  double quantity = 0.0;
  int period = 0;        // in which it must be ordered; below 1: before now
  int needed = 0;        // in which it must be there
  double missing = 0.0;  // of the quantity, then; the rest fills its multiple, for later
  [[nodiscard]] bool late() const { return period < 1; }
};

// How long there is stock of an item: not how long each of it lies, which first in, first out may be less.
struct Waiting {
  std::string item;
  int periods = 0;     // the longest run of periods with stock at the end of each
  double total = 0.0;  // quantity times periods
};

struct Schedule {
  std::vector<SupplySpec> supplies;  // with the order's demand in `needed`
  RequirementsPlan plan;
  std::vector<PlacedOrder> orders;   // by the period of ordering, then as the supplies stand
  std::vector<Waiting> waiting;      // the longest first
  std::vector<std::string> notes;    // what is not in the figures
  std::vector<long> without_period;  // rows of the order that lie in none, by line: left out
};

// Adds to each supply what the lines of the order take of it in their periods. A supply that has the name of
// a material is taken in its own unit (supply_units.hpp). What read_works and works_misfits find nothing
// wrong with is planned: nothing is judged here anew.
Result<Schedule> schedule_of(const Order& order, const Needs& needs, const WorksSpec& works);

// Supplies of which something should have been ordered before now: each counts once, however many of its
// orders are late.
std::size_t supplies_late(const Schedule& schedule);

}  // namespace lastwright
