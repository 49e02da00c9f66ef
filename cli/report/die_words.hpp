// What the order says in words that stand on pages, tables and drawings alike.
#pragma once

#include <string>

#include "grading/dies/order/die_order.hpp"

namespace lastwright {

// "order number: 2026-17; date: 3 June 2026; contact: not stated"
std::string head_text(const DieOrder& order);
// What the user did not state and of which dies, in one line; empty: all is stated.
std::string not_stated_text(const DieOrder& order);
// "L", "as drawn", "mirrored (M)": the foot of one of a pair.
std::string hand_words(const DieOrderLine& line, bool mirror);
// How many are cut for a pair, and by which of two dies: "2, 1 with each of its two dies". Of a drawing,
// which shows one of them: "1 with this die, 1 with the other foot's".
std::string cut_words(const PlannedDie& die, const DieOrderLine& line);
std::string cut_words_of_one(const PlannedDie& die, const DieOrderLine& line);
// The nicks of a die, and that none tells size or width where one might be looked for. Empty: none.
std::string nicks_words(const PlannedDie& die);
// "2: L and R", "1 for both feet", "1: R; L is there: D0007", "none, owned: D0007"
std::string to_make_text(const PlannedDie& die, const DieOrderLine& line);
// 2210 as "2,210".
std::string with_thousands(long long whole);
std::string with_thousands(double value, int decimals);

// Findings of one die that are of one kind.
struct GatheredFinding {
  const DieFinding* worst = nullptr;
  std::size_t places = 0;
};
// In the order in which the kinds come first. Points into `findings`.
std::vector<GatheredFinding> gathered(const std::vector<DieFinding>& findings);
// "width of cut-out 1.83 mm (limit 2.4), the worst of 6 places".
std::string finding_words(const GatheredFinding& kind);

}  // namespace lastwright
