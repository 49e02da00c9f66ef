#include "grading/lasts/style_told.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "geometry/counted.hpp"
#include "grading/lasts/last_definitions.hpp"
#include "grading/sizes/stated_run.hpp"

namespace lastwright {

namespace {

// A measure that falls, in the sizes or in the widths of a run.
struct FallingStep {
  double step = 0.0;  // mm for a whole size or width: the most it falls by
  std::string where;
};

template <class Places, class Value>
std::optional<FallingStep> falling(const Places& places, Value value) {
  std::optional<FallingStep> worst;
  for (std::size_t i = 1; i < places.size(); ++i) {
    const double steps = (places[i].position - places[i - 1].position).value();
    if (!(steps > 0.0)) continue;
    const double step = (value(places[i]) - value(places[i - 1])) / steps;
    if (step >= -1e-9 || (worst && step >= worst->step)) continue;
    worst = FallingStep{step, fmt::format("from {} to {}", places[i - 1].label, places[i].label)};
  }
  return worst;
}

std::vector<MeasureDefinition> measures_of_lasts() {
  std::vector<MeasureDefinition> all = default_last_definitions();
  for (MeasureDefinition& d : bottom_width_definitions()) all.push_back(std::move(d));
  return all;
}

bool lasts_have(const std::string& measure) {
  const std::vector<MeasureDefinition> all = measures_of_lasts();
  return std::any_of(all.begin(), all.end(),
                     [&](const MeasureDefinition& d) { return d.measure == measure; });
}

// What the loader says of a measure that no pattern uses.
constexpr const char* kNoLine = "no line carries this measure";

// A note for a style without pieces: that no pattern uses a measure says nothing there, but that no last has
// it.
std::optional<std::string> for_lasts_alone(const LoadedStyle& style, const std::string& note) {
  if (note.find(kNoLine) == std::string::npos) return note;
  for (const MeasureSpec& one : style.spec.measures) {
    if (note.find("/measures/" + one.name + ":") == std::string::npos) continue;
    if (lasts_have(one.name)) return std::nullopt;
    return fmt::format("LOOK: no measure of a last is named '{}': no last is graded or compared by it",
                       one.name);
  }
  return note;
}

}  // namespace

std::vector<std::string> odd_table_steps(const LoadedStyle& style) {
  std::vector<std::string> told;
  const SizeWidth& base = style.measures.base().at;
  for (const MeasureDefinition& d : measures_of_lasts()) {
    const std::optional<std::size_t> row = style.measures.index(d.measure);
    // Heights may fall: a heel is made lower, a toe springs less.
    if (!row || d.method == Method::kHeight || d.method == Method::kRise) continue;
    const auto by_size = falling(stated_sizes(style.run), [&](const Size& size) {
      return style.measures.value(*row, {size, base.width});
    });
    if (by_size)
      told.push_back(
          fmt::format("LOOK: measure step: {} falls by {:.2f} mm a size, {}, as the length grows: check the "
                      "sign of its step and of its breaks",
                      d.measure, -by_size->step, by_size->where));
    const auto by_width = falling(stated_widths(style.run), [&](const Width& width) {
      return style.measures.value(*row, {base.size, width});
    });
    if (by_width)
      told.push_back(
          fmt::format("LOOK: measure step: {} falls by {:.2f} mm a width, {}, as the last gets wider: check "
                      "the sign of its step and of its breaks",
                      d.measure, -by_width->step, by_width->where));
  }
  return told;
}

std::vector<std::string> told_of_style(const LoadedStyle& style, const std::string& file) {
  std::vector<std::string> told;
  for (const std::string& look : odd_table_steps(style))
    told.push_back(fmt::format("style {}: {}", file, look));
  if (style.spec.pieces.empty()) {
    for (const std::string& note : style.notes) {
      if (const auto one = for_lasts_alone(style, note))
        told.push_back(fmt::format("style {}: {}", file, *one));
    }
    return told;
  }
  for (const std::string& note : style.notes) {
    if (note.starts_with("forme ")) told.push_back(fmt::format("style {}: {}", file, note));
  }
  if (!style.notes.empty())
    told.push_back(fmt::format("style {}: {} on what it states, which lastwright check {} shows", file,
                               counted(style.notes.size(), "note"), file));
  return told;
}

}  // namespace lastwright
