#include "cli/reading_plan.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cli/listing/girth_books.hpp"
#include "grading/sizes/step_named.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {
namespace {

constexpr std::size_t kMostLasts = 2000;

Problem plan_refused(std::string message) {
  return {Trouble::kUsage, std::move(message), {}, {}, {}};
}

std::vector<std::string> parts(std::string_view text, char by) {
  std::vector<std::string> all;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(by), text.size());
    std::string_view one = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    while (one.starts_with(' ')) one.remove_prefix(1);
    while (one.ends_with(' ')) one.remove_suffix(1);
    if (!one.empty()) all.emplace_back(one);
  }
  return all;
}

template <class T>
Status take(std::vector<T>& to, const std::vector<T>& run, const std::vector<std::string>& words,
            const char* what) {
  for (std::size_t i = 1; i < words.size(); ++i) {
    auto found = run.end();
    // Labels may be of several words: "child 8". The longest that the run has is meant.
    std::string label;
    std::size_t last = i;
    for (std::size_t k = i; k < words.size(); ++k) {
      label += (label.empty() ? "" : " ") + words[k];
      const auto named = step_named(run, label);
      if (named == run.end()) continue;
      found = named;
      last = k;
    }
    if (found == run.end()) {
      return plan_refused(fmt::format("the run has no {} \"{}\"; it goes from {} to {}", what, words[i],
                                      run.front().label, run.back().label));
    }
    const bool twice =
        std::any_of(to.begin(), to.end(), [&](const T& one) { return one.label == found->label; });
    if (twice) return plan_refused(fmt::format("the plan has the {} \"{}\" twice", what, found->label));
    to.push_back(*found);
    i = last;
  }
  return Done{};
}

Result<int> count(const std::vector<std::string>& words, int most) {
  const Result<Fraction> number =
      words.size() == 2 ? parse_fraction(words[1]) : Result<Fraction>(Fraction(0));
  if (!number || number->denominator() != 1 || *number < 1 || *number > most)
    return plan_refused(fmt::format("\"{}\" needs one whole number from 1 to {}", words[0], most));
  return static_cast<int>(number->value());
}

Result<double> length(const std::vector<std::string>& words) {
  const Result<Quantity> made =
      words.size() == 3 ? parse_quantity(words[1] + " " + words[2]) : Result<Quantity>(plan_refused(""));
  if (!made || made->millimetres.value() < 0.01 || made->millimetres.value() > 20.0)
    return plan_refused(fmt::format("\"{}\" needs a length, such as {} 0.5 mm", words[0], words[0]));
  return made->millimetres.value();
}

Status take_part(ReadingPlanOptions& plan, const std::vector<std::string>& words, const LoadedStyle& style) {
  const std::string& what = words[0];
  if (what == "sizes" || what == "size") return take(plan.sizes, style.run.sizes, words, "size");
  if (what == "widths" || what == "width") return take(plan.widths, style.run.widths, words, "width");
  if (what == "pairs" || what == "gauges") {
    const Result<int> number = count(words, what == "pairs" ? 200 : 20);
    if (!number) return number.problem();
    (what == "pairs" ? plan.pairs : plan.tapes) = *number;
    return Done{};
  }
  if (what == "spread" || what == "step") {
    const Result<double> made = length(words);
    if (!made) return made.problem();
    (what == "spread" ? plan.spread : plan.step) = *made;
    if (what == "step") plan.inches = words[2].starts_with("in") || words[2] == "\"";
    return Done{};
  }
  return plan_refused(
      fmt::format("a plan has no \"{}\"{}", what,
                  suggestion(what, {"sizes", "widths", "pairs", "gauges", "spread", "step"})));
}

}  // namespace

Result<ReadingPlanOptions> parse_reading_plan(std::string_view text, const LoadedStyle& style,
                                              const std::vector<std::string>& measures) {
  ReadingPlanOptions plan;
  std::vector<std::string> seen;
  for (const std::string& part : parts(text, ',')) {
    const std::vector<std::string> words = parts(part, ' ');
    if (std::find(seen.begin(), seen.end(), words[0]) != seen.end())
      return plan_refused(fmt::format("the plan has \"{}\" twice", words[0]));
    seen.push_back(words[0]);
    if (Status taken = take_part(plan, words, style); !taken) return taken.problem();
  }
  if (plan.sizes.empty())
    return plan_refused("a plan names the sizes to read: \"sizes 7 8 9, widths E F, pairs 2\"");
  if (plan.widths.empty()) plan.widths.push_back(style.measures.base().at.width);
  for (const Size& size : plan.sizes) {
    for (const Width& width : plan.widths) {
      if (style.run.whole() || style.run.makes(SizeWidth{size, width})) continue;
      return plan_refused(
          fmt::format("the run does not make {} {}: plan its widths apart", size.label, width.label));
    }
  }
  auto asked = asked_measures(style, measures);
  if (!asked) return asked.problem();
  plan.measures = *std::move(asked);
  const std::size_t lasts = 2 * plan.sizes.size() * plan.widths.size() * static_cast<std::size_t>(plan.pairs);
  if (lasts > kMostLasts)
    return plan_refused(fmt::format("the plan has {} lasts; {} at most", lasts, kMostLasts));
  return plan;
}

}  // namespace lastwright
