#include "grading/dies/order/die_rates.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "geometry/counted.hpp"
#include "grading/dies/order/die_names.hpp"

namespace lastwright {

namespace {

// The height that a figure of the rules is for: the piece's own figure is for the piece's, that of all for
// that of all.
bool as_high(const DieMaking& making, const DieOrderLine& line, bool own) {
  return line.rule_height == (own ? line.height_asked : making.rule_height);
}

// "outsole (50 mm): 8 dies"
class ByPiece {
 public:
  void add(const DieOrderLine& line) {
    dies_ += line.to_make;
    counts_[{line.piece, line.rule_height.value_or(0.0)}] += line.to_make;
  }
  [[nodiscard]] int dies() const { return dies_; }
  [[nodiscard]] std::string text() const {
    std::vector<std::string> pieces;
    for (const auto& [what, count] : counts_)
      pieces.push_back(fmt::format("{} {:g} mm: {}", what.first, what.second, counted(count, "die")));
    return named_of(pieces, kDieLinesFile);
  }

 private:
  int dies_ = 0;
  std::map<std::pair<std::string, double>, int> counts_;
};

}  // namespace

std::optional<double> weight_per_metre_of(const DieRules& rules, const DieMaking& making,
                                          const DieOrderLine& line) {
  const std::optional<double>& own = rules.rules_of(line.piece).weight_per_metre;
  if (!as_high(making, line, own.has_value())) return std::nullopt;
  return own ? own : rules.weight_per_metre;
}

std::vector<std::string> rate_notes(const DieOrder& order, const DieRules& rules) {
  ByPiece unweighed;
  ByPiece priced;
  const bool weights =
      rules.weight_per_metre || std::any_of(rules.pieces.begin(), rules.pieces.end(), [](const auto& piece) {
        return piece.second.weight_per_metre.has_value();
      });
  for (const DieOrderLine& line : order.lines) {
    if (line.to_make == 0) continue;
    if (weights && !line.weight) unweighed.add(line);
    if (order.priced && rules.per_mm_of(line.piece) > 0.0 &&
        !as_high(order.making, line, rules.rules_of(line.piece).per_mm.has_value()))
      priced.add(line);
  }
  std::vector<std::string> notes;
  if (unweighed.dies() > 0)
    notes.push_back(fmt::format(
        "the weight leaves out {}: no \"weight_per_metre\" is stated for rule of their height ({})",
        counted(unweighed.dies(), "die"), unweighed.text()));
  if (priced.dies() > 0)
    notes.push_back(fmt::format(
        "the rule of {} is priced at a \"per_mm\" that is stated for another height: ask the die maker, and "
        "state one for the piece ({})",
        counted(priced.dies(), "die"), priced.text()));
  return notes;
}

}  // namespace lastwright
