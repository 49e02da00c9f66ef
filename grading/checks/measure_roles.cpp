#include "grading/checks/measure_roles.hpp"

#include <algorithm>

#include "grading/checks/growth_check.hpp"
#include "grading/style/forme_lookup.hpp"

namespace lastwright {

namespace {

// Whether one of a style's formes has a rule that the given question is true of.
template <class Asked>
bool any_rule(const StyleSpec& style, Asked asked) {
  return std::any_of(style.formes.begin(), style.formes.end(), [&](const FormeSpec& forme) {
    return std::any_of(forme.rules.begin(), forme.rules.end(),
                       [&](const Rule& rule) { return asked(forme, rule); });
  });
}

bool drives(const Rule& rule, const std::string& measure) {
  const auto* line = std::get_if<MeasureLine>(&rule);
  return line != nullptr && carries(*line, measure);
}

}  // namespace

bool MeasureRoles::shapes_the_last(const std::string& measure) const {
  return any_rule(style_, [&](const FormeSpec& forme, const Rule& rule) {
    const MeasureLine* line = rule_line(rule);
    return line != nullptr && carries(*line, measure) && of_the_last(style_, forme);
  });
}

bool MeasureRoles::drives_the_last(const std::string& measure) const {
  return any_rule(style_, [&](const FormeSpec& forme, const Rule& rule) {
    return drives(rule, measure) && of_the_last(style_, forme);
  });
}

bool MeasureRoles::sets_length(const std::string& measure, bool of_last) const {
  return std::any_of(style_.formes.begin(), style_.formes.end(), [&](const FormeSpec& forme) {
    const MeasureLine* line = find_line(forme, forme.length_line);
    return line != nullptr && carries(*line, measure) && of_the_last(style_, forme) == of_last;
  });
}

bool MeasureRoles::across_bottom(const std::string& measure) const {
  return any_rule(style_, [&](const FormeSpec& forme, const Rule& rule) {
    return drives(rule, measure) && role_of(forme) == FormeRole::kBottom &&
           rule_line(rule)->name != forme.length_line;
  });
}

bool MeasureRoles::is_girth(const std::string& measure) const {
  return std::any_of(style_.girths.begin(), style_.girths.end(),
                     [&](const GirthSpec& girth) { return girth.measure == measure; });
}

}  // namespace lastwright
