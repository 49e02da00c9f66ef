#include "cli/listing/rounded_to.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>
#include <vector>

#include "geometry/counted.hpp"
#include "grading/sizes/fraction.hpp"

namespace lastwright {

namespace {

std::string in_words(double step, bool inches) {
  if (step <= 0.0) return "to no step that shows";
  if (!inches) return fmt::format("to {:g} mm", step);
  const Fraction part(std::llround(step / 25.4 * 128.0), 128);
  if (std::abs(part.value() * 25.4 - step) < 1e-9) return "to " + to_mixed(part) + " in";
  return fmt::format("to {:g} in", step / 25.4);
}

}  // namespace

std::string rounded_to(const BatchReport& report) {
  using LinesOfStep = std::map<double, std::vector<std::string>>;
  std::map<std::pair<std::string, bool>, LinesOfStep> all;  // by gauge, and whether in inches
  for (const JudgedReading& one : report.readings)
    all[{one.reading.gauge, one.reading.inches}][one.reading.step].push_back(
        std::to_string(one.reading.line));
  std::string text;
  for (const auto& [gauge, by_step] : all) {
    text += (text.empty() ? "" : ", ") + (gauge.first.empty() ? std::string() : gauge.first + " ");
    const auto most = std::max_element(by_step.begin(), by_step.end(), [](const auto& a, const auto& b) {
      return a.second.size() < b.second.size();
    });
    text += in_words(most->first, gauge.second);
    for (const auto& [step, lines] : by_step) {
      if (step == most->first) continue;
      text += fmt::format(" (in line {} {})", some_of(lines, 5), in_words(step, gauge.second));
    }
  }
  return text;
}

}  // namespace lastwright
