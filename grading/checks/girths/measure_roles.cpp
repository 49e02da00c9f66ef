#include "grading/checks/girths/measure_roles.hpp"

#include <algorithm>

#include "grading/checks/girths/growth_check.hpp"
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

// Whether a name holds the word in capitals or not.
bool names(const std::string& name, const char* word) {
  std::string small = name;
  std::transform(small.begin(), small.end(), small.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
  return small.find(word) != std::string::npos;
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
  const bool stated = std::any_of(style_.girths.begin(), style_.girths.end(),
                                  [&](const GirthSpec& girth) { return girth.measure == measure; });
  return stated || names(measure, "girth") || goes_around(measure);
}

bool MeasureRoles::goes_around(const std::string& measure) const {
  for (const char* word : {"height", "length", "depth", "heel"}) {
    if (names(measure, word)) return false;
  }
  const Fraction half{1, 2};
  const auto of_line = [&](const FormeSpec& forme, const Rule& rule, auto asked) {
    const MeasureLine* line = rule_line(rule);
    return line != nullptr && of_the_last(style_, forme) &&
           std::any_of(line->carries.begin(), line->carries.end(), [&](const auto& carried) {
             return carried.first == measure && asked(carried.second);
           });
  };
  return !sets_length(measure, true) && any_rule(style_, [&](const FormeSpec& forme, const Rule& rule) {
    return role_of(forme) != FormeRole::kBottom && drives(rule, measure) &&
           of_line(forme, rule, [&](Fraction share) { return share == half; });
  }) && !any_rule(style_, [&](const FormeSpec& forme, const Rule& rule) {
    return of_line(forme, rule, [&](Fraction share) { return share > half; });
  });
}

}  // namespace lastwright
