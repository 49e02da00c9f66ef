#include "grading/sizes/scale.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

namespace lastwright {
namespace {

// Longest run a person can mean: the whole English scale in half sizes has 54.
constexpr std::size_t kLongestRun = 1000;

std::string label_in(const ScaleRun& run, bool truncated, Fraction position) {
  const Fraction number = run.first_label + (position - run.first_position) * run.label_step;
  return run.prefix + (truncated ? to_decimal(number.floor()) : to_decimal(number));
}

Fraction last_position(const ScaleRun& run) {
  return run.first_position + (run.last_label - run.first_label) / run.label_step;
}

bool is_made(const ScaleRun& run, Fraction position) {
  return ((position - run.first_position) / run.smallest).denominator() == 1;
}

bool holds(const ScaleRun& run, Fraction position) {
  return run.first_position <= position && position <= last_position(run);
}

// Where the number of a label lies in a run. A truncated
// label stands for the one made size that it is the floor of.
Fraction position_of(const ScaleRun& run, bool truncated, Fraction number) {
  const Fraction exact = run.first_position + (number - run.first_label) / run.label_step;
  if (!truncated || number.denominator() != 1) return exact;
  const Fraction parts = (exact - run.first_position) / run.smallest;
  const Fraction above = run.first_position + run.smallest * (-Fraction((-parts).floor()));
  const Fraction above_number = run.first_label + (above - run.first_position) * run.label_step;
  return above_number.floor() == number.numerator() ? above : exact;
}

std::string stretches(const Scale& scale) {
  std::string text;
  for (const ScaleRun& run : scale.runs) {
    if (!text.empty()) text += ", ";
    text += label_in(run, scale.truncated_labels, run.first_position) + " to " +
            label_in(run, scale.truncated_labels, last_position(run));
  }
  return text;
}

std::string nearest_made(const Scale& scale, const ScaleRun& run, Fraction position) {
  const Fraction parts = (position - run.first_position) / run.smallest;
  const Fraction below = run.first_position + run.smallest * parts.floor();
  return label_in(run, scale.truncated_labels, below) + " or " +
         label_in(run, scale.truncated_labels, below + run.smallest);
}

}  // namespace

const char* name_of(Provenance provenance) {
  switch (provenance) {
    case Provenance::kPublished:
      return "published";
    case Provenance::kDerived:
      return "derived";
    case Provenance::kCommonPractice:
      return "common practice";
    case Provenance::kFromMemory:
      return "from memory";
  }
  return "from memory";
}

const char* name_of(Sizes sizes) {
  return sizes == Sizes::kFoot ? "foot" : "last";
}

std::optional<Size> Scale::at(Fraction position) const {
  for (const ScaleRun& run : runs) {
    if (holds(run, position) && is_made(run, position)) {
      return Size{position, label_in(run, truncated_labels, position)};
    }
  }
  return std::nullopt;
}

Result<Size> Scale::size(std::string_view label) const {
  std::optional<Problem> near_miss;
  for (const ScaleRun& run : runs) {
    if (!label.starts_with(run.prefix)) continue;
    const Result<Fraction> number = parse_fraction(label.substr(run.prefix.size()));
    if (!number) continue;
    const Fraction position = position_of(run, truncated_labels, *number);
    if (!holds(run, position)) continue;
    if (is_made(run, position)) return Size{position, label_in(run, truncated_labels, position)};
    near_miss = bad_value(fmt::format("size \"{}\" is not made on the scale \"{}\"; {} would do", label, key,
                                      nearest_made(*this, run, position)));
  }
  if (near_miss) return *near_miss;
  return bad_value(
      fmt::format("the scale \"{}\" has no size \"{}\"; it runs {}", key, label, stretches(*this)));
}

Result<std::vector<Size>> Scale::run(std::string_view from, std::string_view to, Fraction by) const {
  const Result<Size> first = size(from);
  if (!first) return first.problem();
  const Result<Size> last = size(to);
  if (!last) return last.problem();
  if (by <= 0) return bad_value(fmt::format("a run goes up in steps above 0, not {}", to_mixed(by)));
  if (last->position < first->position) {
    return bad_value(
        fmt::format("a run goes from the smaller to the larger size, not from {} to {}", from, to));
  }
  const Fraction steps = (last->position - first->position) / by;
  if (steps.denominator() != 1) {
    return bad_value(
        fmt::format("steps of {} from {} do not meet {}", to_mixed(by), first->label, last->label));
  }
  if (steps >= static_cast<std::int64_t>(kLongestRun)) {
    return bad_value(fmt::format("a run of {} sizes; at most {} will do", to_mixed(steps + 1), kLongestRun));
  }
  std::vector<Size> found;
  for (std::int64_t i = 0; i <= steps.numerator(); ++i) {
    const Fraction position = first->position + by * i;
    const std::optional<Size> made = at(position);
    if (!made) {
      return bad_value(fmt::format("steps of {} from {} meet sizes that the scale \"{}\" does not make",
                                   to_mixed(by), first->label, key));
    }
    found.push_back(*made);
  }
  return found;
}

Result<Width> Ladder::width(std::string_view label) const {
  const auto found = std::find(labels.begin(), labels.end(), label);
  if (found != labels.end()) return at(static_cast<std::size_t>(found - labels.begin()));
  std::string all;
  for (const std::string& one : labels) all += (all.empty() ? "" : ", ") + one;
  return bad_value(fmt::format("the ladder \"{}\" has no width \"{}\"; it has {}", key, label, all));
}

Width Ladder::at(std::size_t place) const {
  return {positions.empty() ? Fraction(static_cast<std::int64_t>(place)) : positions.at(place),
          labels.at(place)};
}

bool Scale::carried_on(const Size& size) const {
  for (const ScaleRun& run : runs) {
    if (holds(run, size.position))
      return run.covered && (size.position < run.covered->first || size.position > run.covered->second);
  }
  return false;
}

}  // namespace lastwright
