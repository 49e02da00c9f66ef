#include "cli/listing/printed_limit.hpp"

#include <fmt/format.h>

#include <cmath>

#include "grading/readings/batch_report.hpp"
#include "grading/readings/gauge_step.hpp"

namespace lastwright {

namespace {

ListingCell cell_of(Fraction value, const NotedStep& step) {
  if (step.inches) return to_mixed(value);
  int decimals = 1;
  for (std::int64_t tens = 10; tens % step.step.denominator() != 0 && decimals < 4; tens *= 10) ++decimals;
  return exact_figure(value, decimals);
}

std::string words_of(const NotedStep& step) {
  return step.inches ? to_mixed(step.step) + " in" : fmt::format("{:g} mm", step.step.value());
}

}  // namespace

NotedStep noted_to(double millimetres, bool inches) {
  constexpr std::int64_t kFinest = 1000;
  const double value = inches ? millimetres / 25.4 : millimetres;
  if (inches) {
    for (std::int64_t parts = 1; parts < kFinest; ++parts) {
      const double count = value * static_cast<double>(parts);
      if (count > 0.5 && std::abs(count - std::round(count)) < 1e-9)
        return {Fraction(std::llround(count), parts), true};
    }
  }
  const std::int64_t count = std::llround(value * static_cast<double>(kFinest));
  return {Fraction(std::max<std::int64_t>(count, 1), kFinest), inches};
}

PrintedLimits printed_limits(const std::optional<Limit>& limit, double wanted, const NotedStep& step) {
  if (!limit) return {};
  const double judged = noted_step(step.step, step.inches);
  const double one = step.millimetres().value();
  const auto verdict = [&](std::int64_t steps) {
    return verdict_of((step.millimetres() * Fraction(steps)).value() - wanted, limit, judged);
  };
  // Reckoned, and then as the judge himself says of what lies beside.
  auto lowest = static_cast<std::int64_t>(std::ceil((wanted - limit->below - 0.5 * judged) / one));
  while (verdict(lowest) == ReadingVerdict::kBelow) ++lowest;
  while (verdict(lowest - 1) != ReadingVerdict::kBelow) --lowest;
  auto highest = static_cast<std::int64_t>(std::floor((wanted + limit->above + 0.5 * judged) / one));
  while (verdict(highest) == ReadingVerdict::kAbove) --highest;
  while (verdict(highest + 1) != ReadingVerdict::kAbove) ++highest;
  return {cell_of(step.step * Fraction(lowest), step), cell_of(step.step * Fraction(highest), step)};
}

std::string limits_rule(const std::vector<NotedStep>& steps) {
  std::string noted;
  std::string finer;
  for (const NotedStep& step : steps) {
    noted += (noted.empty() ? "" : " or ") + words_of(step);
    const double judged = noted_step(step.step, step.inches);
    if (std::abs(judged - step.millimetres().value()) > 1e-9)
      finer += fmt::format(", {} as if to {:.4g} mm, as such figures may be", words_of(step), judged);
  }
  return "not under, not over: the least and the greatest reading noted to " + noted +
         " that is judged to be within its limit, for it is beyond only where the whole of the step that it "
         "is rounded to lies beyond" +
         finer + "; noted to another step, other figures hold";
}

}  // namespace lastwright
