#include "cli/report/die_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/tables/table.hpp"
#include "grading/dies/order/die_stated.hpp"

namespace lastwright {

namespace {

// Commas between each three figures before the point.
std::string grouped(std::string figures) {
  const std::size_t point = std::min(figures.find('.'), figures.size());
  const std::size_t first = !figures.empty() && figures.front() == '-' ? 1 : 0;
  for (std::size_t at = point; at > first + 3;) {
    at -= 3;
    figures.insert(at, ",");
  }
  return figures;
}

}  // namespace

std::string with_thousands(long long whole) {
  return grouped(fmt::format("{}", whole));
}

std::string with_thousands(double value, int decimals) {
  return grouped(with_decimals(value, decimals));
}

std::vector<GatheredFinding> gathered(const std::vector<DieFinding>& findings) {
  const auto off = [](const DieFinding& f) { return std::abs(f.value - f.limit.value); };
  std::vector<GatheredFinding> kinds;
  for (const DieFinding& finding : findings) {
    auto kind = std::find_if(kinds.begin(), kinds.end(),
                             [&](const GatheredFinding& k) { return k.worst->check == finding.check; });
    if (kind == kinds.end()) kind = kinds.insert(kinds.end(), {&finding, 0});
    ++kind->places;
    if (off(finding) > off(*kind->worst)) kind->worst = &finding;
  }
  return kinds;
}

std::string finding_words(const GatheredFinding& kind) {
  const DieFinding& worst = *kind.worst;
  return fmt::format("{} {:.2f} {} (limit {:g}){}", worst.check, worst.value, worst.unit, worst.limit.value,
                     kind.places > 1 ? fmt::format(", the worst of {} places", kind.places) : "");
}

std::string head_text(const DieOrder& order) {
  return in_words(head_stated(order.head));
}

std::string not_stated_text(const DieOrder& order) {
  const std::vector<std::string> list = not_stated(order);
  return list.empty() ? "" : fmt::format("not stated: {}", fmt::join(list, "; "));
}

std::string cut_words(const PlannedDie& die, const DieOrderLine& line) {
  if (die.hands.mode != HandMode::kPair) return fmt::format("{}", line.per_pair);
  if (line.per_pair % 2 != 0) return fmt::format("{} with its two dies together", line.per_pair);
  return fmt::format("{}, {} with each of its two dies", line.per_pair, line.per_pair / 2);
}

std::string cut_words_of_one(const PlannedDie& die, const DieOrderLine& line) {
  if (die.hands.mode != HandMode::kPair) return fmt::format("{}", line.per_pair);
  if (line.per_pair % 2 != 0)
    return fmt::format("{} with this die and the other foot's together", line.per_pair);
  return fmt::format("{0} with this die, {0} with the other foot's", line.per_pair / 2);
}

std::string hand_words(const DieOrderLine& line, bool mirror) {
  if (mirror) return line.hand_mirrored == "M" ? "mirrored (M)" : line.hand_mirrored;
  return line.hand_drawn.empty() ? "as drawn" : line.hand_drawn;
}

std::string nicks_words(const PlannedDie& die) {
  const std::string nicks = nicks_text(die.work);
  if (!die.untold.any()) return nicks;
  return (nicks.empty() ? "none" : nicks) + "; none tells " + die.untold.words_of_none();
}

std::string to_make_text(const PlannedDie& die, const DieOrderLine& line) {
  const bool pair = die.hands.mode == HandMode::kPair;
  const std::string drawn = hand_words(line, false);
  const std::string other = hand_words(line, true);
  const std::string each = line.quantity > 1 ? fmt::format(", {} of each", line.quantity) : "";
  if (!die.owned)
    return pair ? fmt::format("{}: {} and {}{}", line.to_make, drawn, other, each)
                : fmt::format("{}{} for both feet", line.quantity,
                              die.hands.mode == HandMode::kTwoEdged ? " two-edged," : "");
  const bool restamp =
      std::any_of(line.there.begin(), line.there.end(), [](const DieThere& one) { return one.restamp(); });
  const std::string own = line.owned + (restamp ? " (restamp)" : "");
  if (line.to_make == 0)
    return "none, owned: " + own +
           (die.hands.mode == HandMode::kTwoEdged ? " (see that it has two edges)" : "");
  return fmt::format("{}: {}; owned: {}", line.quantity, die.make_drawn ? drawn : other, own);
}

}  // namespace lastwright
