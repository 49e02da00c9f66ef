#include "grading/measures/measure.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace lastwright {
namespace {

// The stretch that the open interval just above (or ending at) a position lies in; null: the measure's own.
const MeasureBreak* stretch_between(const Measure& measure, Fraction low, Fraction high) {
  for (const MeasureBreak& stretch : measure.breaks) {
    if (stretch.per_size && stretch.from.position <= low && high <= stretch.to.position) return &stretch;
  }
  return nullptr;
}

// Every border between `from` and `to`, both ends included, ascending.
std::vector<Fraction> borders(const Measure& measure, Fraction from, Fraction to) {
  std::vector<Fraction> all{from, to};
  for (const MeasureBreak& stretch : measure.breaks) {
    if (!stretch.per_size) continue;
    for (const Fraction border : {stretch.from.position, stretch.to.position}) {
      if (from < border && border < to) all.push_back(border);
    }
  }
  std::sort(all.begin(), all.end());
  all.erase(std::unique(all.begin(), all.end()), all.end());
  return all;
}

Fraction scale_length(const Base& base, Fraction position) {
  return base.length + base.step * (position - base.at.size.position);
}

// Carries a value over one stretch, from one end to the other in either direction.
Fraction carried(const Measure& measure, const Base& base, Fraction value, Fraction start, Fraction end) {
  const MeasureBreak* stretch = stretch_between(measure, std::min(start, end), std::max(start, end));
  if (stretch) return value + stretch->per_size->millimetres * (end - start);
  if (measure.law == Law::kArithmetic) return value + measure.per_size.millimetres * (end - start);
  return value * scale_length(base, end) / scale_length(base, start);
}

// The value in the base width at a position.
Fraction by_size(const Measure& measure, const Base& base, Fraction position) {
  const Fraction home = base.at.size.position;
  std::vector<Fraction> stops = borders(measure, std::min(home, position), std::max(home, position));
  if (position < home) std::reverse(stops.begin(), stops.end());
  Fraction value = measure.base.millimetres;
  for (std::size_t i = 1; i < stops.size(); ++i) {
    value = carried(measure, base, value, stops[i - 1], stops[i]);
  }
  return value;
}

}  // namespace

const char* name_of(Law law) {
  return law == Law::kArithmetic ? "arithmetic" : "proportional";
}

Fraction width_step_at(const Measure& measure, const Size& size) {
  const MeasureBreak* best = nullptr;
  for (const MeasureBreak& stretch : measure.breaks) {
    if (!stretch.per_width || size.position < stretch.from.position || stretch.to.position < size.position)
      continue;
    if (!best || stretch.from.position < best->from.position) best = &stretch;
  }
  return (best ? *best->per_width : measure.per_width).millimetres;
}

Fraction value_of(const Measure& measure, const Base& base, const SizeWidth& at) {
  const Fraction widths = at.width.position - base.at.width.position;
  const Fraction position = at.size.position + measure.size_steps_per_width * widths;
  return by_size(measure, base, position) + width_step_at(measure, at.size) * widths;
}

Fraction increment_of(const Measure& measure, const Base& base, const SizeWidth& at) {
  return value_of(measure, base, at) - measure.base.millimetres;
}

Status check_measure(const Measure& measure) {
  const auto bad = [&](std::string message) {
    return bad_value(std::move(message)).in("measure", measure.name);
  };
  if (measure.base.millimetres <= 0) {
    return bad(fmt::format("the base value is {}; it must be above 0", measure.base.written));
  }
  if (measure.size_steps_per_width < -1 || measure.size_steps_per_width > 1) {
    return bad(fmt::format(
        "the extra by width is {} sizes a width step; between -1 and 1 will do (handbooks: 1/8 to 1/4)",
        to_mixed(measure.size_steps_per_width)));
  }
  for (std::size_t i = 0; i < measure.breaks.size(); ++i) {
    const MeasureBreak& one = measure.breaks[i];
    if (one.to.position <= one.from.position) {
      return bad(fmt::format("a break runs from {} to {}; it must go up", one.from.label, one.to.label));
    }
    if (!one.per_size && !one.per_width) {
      return bad(fmt::format("the break {} to {} changes neither the size nor the width step", one.from.label,
                             one.to.label));
    }
    for (std::size_t j = 0; j < i; ++j) {
      const MeasureBreak& other = measure.breaks[j];
      const bool apart = one.to.position <= other.from.position || other.to.position <= one.from.position;
      const bool same_kind = (one.per_size && other.per_size) || (one.per_width && other.per_width);
      if (!apart && same_kind) {
        return bad(fmt::format("the breaks {} to {} and {} to {} overlap", other.from.label, other.to.label,
                               one.from.label, one.to.label));
      }
    }
  }
  return Done{};
}

}  // namespace lastwright
