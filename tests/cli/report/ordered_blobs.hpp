// An order of dies for the style of blobs, planned anew whenever its rules or the dies that are there change.
#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "grading/dies/order/die_order.hpp"
#include "grading/dies/plan/die_plan.hpp"
#include "tests/support/blob_style.hpp"

namespace lastwright::test {

struct Ordered {
  BlobStyle blobs = small_style();
  DieRules rules;
  std::vector<OwnedDie> owned;
  DiePlan plan;
  DieOrder order;

  void put() {
    rules.curve.clear();
    DiePlanInput input = input_of(blobs, rules, run_of(3, 2));
    input.owned = owned;
    plan = *plan_dies(input);
    order = make_die_order(plan, blobs.style, rules, input.places, owned);
  }
  [[nodiscard]] const DieOrderLine& line(const std::string& piece) const {
    return *std::find_if(order.lines.begin(), order.lines.end(),
                         [&](const DieOrderLine& one) { return one.piece == piece; });
  }
  [[nodiscard]] bool noted(const std::string& words) const {
    return std::any_of(order.notes.begin(), order.notes.end(),
                       [&](const std::string& note) { return note.find(words) != std::string::npos; });
  }
};

inline bool has(const std::string& text, const std::string& words) {
  return text.find(words) != std::string::npos;
}

// Every fact of every die stands in its row of the table, on its drawing, on the page and in the JSON.
void check_carried(const Ordered& o);

}  // namespace lastwright::test
