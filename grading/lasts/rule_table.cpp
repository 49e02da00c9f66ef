#include "grading/lasts/rule_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "grading/checks/girths/base_limits.hpp"

namespace lastwright {

namespace {

constexpr double kAgree = 0.05;  // mm: less is how the rest of the form moves it

// The rule of the last's file for a measure; nothing where it has none.
std::optional<LastRule> rule_of(const LastSpec& spec, const std::string& measure) {
  if (measure == "heel height") return spec.heel_height;
  if (measure == "toe spring") return spec.toe_spring;
  return spec.toe_thickness;
}

bool has_rule(const std::string& measure) {
  return measure == "heel height" || measure == "toe spring" || measure == "toe thickness";
}

}  // namespace

bool RuleMiss::failed() const {
  return !(std::abs(by_last - by_table) <= limit);
}

std::vector<RuleMiss> rules_off_table(const LastSet& set) {
  std::vector<RuleMiss> misses;
  if (set.bases.empty()) return misses;
  const std::vector<MeasureDefinition>& definitions = set.bases.front().definitions;
  for (std::size_t i = 0; i < definitions.size(); ++i) {
    const std::string& measure = definitions[i].measure;
    const std::optional<std::size_t> row = set.style.measures.index(measure);
    if (!row || !has_rule(measure)) continue;
    RuleMiss worst;
    for (const LastResult& last : set.results) {
      if (!std::isfinite(last.asked[i])) continue;  // the table takes it otherwise
      const BaseLast& base = set.bases[last.base];
      const double by_table = last.asked[i] - set.style.measures.value(*row, base.at);
      const double by_last = last.values[i].value - base.values[i].value;
      const double off = by_last - by_table;
      if (std::abs(off) <= std::max(kAgree, std::abs(worst.by_last - worst.by_table))) continue;
      worst = {measure,  base.at, last.at,
               by_table, by_last, base_limit_of(set.style.spec, false, last.asked[i], off)};
    }
    if (!worst.measure.empty()) misses.push_back(std::move(worst));
  }
  return misses;
}

std::string told_of(const RuleMiss& miss, const LastSet& set) {
  const std::optional<LastRule> rule = rule_of(set.spec, miss.measure);
  const std::string by = rule ? fmt::format("by the last's rule of {:g} mm a size and {:g} a width",
                                            rule->per_size, rule->per_width)
                              : std::string("as it goes with the ball girth, having no rule");
  const std::size_t row = *set.style.measures.index(miss.measure);
  const auto step = [&](int sizes, int widths) {
    SizeWidth there = miss.base;
    there.size.position = there.size.position + Fraction(sizes);
    there.width.position = there.width.position + Fraction(widths);
    return set.style.measures.value(row, there) - set.style.measures.value(row, miss.base);
  };
  return fmt::format(
      "{}: table and rule contradict each other: from {} to {} the table changes it by {:+.2f} mm, the last "
      "{:+.2f}, "
      "{}: off by {:.2f} mm, at most {:.2f}. What the table asks: \"rules\": {{\"{}\": {{\"per_size\": {:g}, "
      "\"per_width\": {:g}}}}} in {}; or correct the measures of the style",
      miss.measure, label_of(miss.base), label_of(miss.at), miss.by_table, miss.by_last, by,
      std::abs(miss.by_last - miss.by_table), miss.limit, miss.measure, step(1, 0), step(0, 1), set.file);
}

}  // namespace lastwright
