#include "cli/report/die_words.hpp"

#include <fmt/format.h>

#include "cli/table.hpp"

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

std::string making_text(const DieMaking& making, std::optional<double> height) {
  return fmt::format("rule {}, {}; the line drawn is the cutting edge, bevel {}; {}",
                     height ? fmt::format("{:g} mm high", *height) : std::string("of a height not known"),
                     making.rule_thickness ? fmt::format("{:g} mm thick", *making.rule_thickness)
                                           : std::string("thickness as you usually take it"),
                     making.bevel,
                     making.handle.empty() ? std::string("no handle") : "handle: " + making.handle);
}

std::string rule_text(const DieOrder& order, const DieOrderLine& line) {
  return making_text(order.making, line.rule_height);
}

std::string head_text(const DieOrder& order) {
  std::string text;
  const auto add = [&text](const std::string& one) { text += (text.empty() ? "" : ", ") + one; };
  if (!order.head.number.empty()) add("No. " + order.head.number);
  if (!order.head.date.empty()) add(order.head.date);
  if (!order.head.contact.empty()) add("contact: " + order.head.contact);
  return text;
}

std::string to_make_text(const PlannedDie& die, const DieOrderLine& line) {
  const bool pair = die.hands.mode == HandMode::kPair;
  const std::string drawn = line.hand_drawn.empty() ? "as drawn" : line.hand_drawn;
  const std::string other = line.hand_mirrored == "M" ? "mirrored (M)" : line.hand_mirrored;
  if (!die.owned)
    return pair ? "2: " + drawn + " and " + other
                : std::string(die.hands.mode == HandMode::kTwoEdged ? "1 two-edged, for both feet"
                                                                    : "1 for both feet");
  if (line.to_make == 0)
    return "none, owned: " + line.owned +
           (die.hands.mode == HandMode::kTwoEdged ? " (see that it has two edges)" : "");
  return fmt::format("1: {}; owned: {}", die.make_drawn ? drawn : other, line.owned);
}

}  // namespace lastwright
