#include "grading/measures/measure_table.hpp"

#include <fmt/format.h>

#include "grading/json/json_text.hpp"
#include "grading/sizes/size_run.hpp"

namespace lastwright {

Result<MeasureTable> MeasureTable::build(std::vector<Measure> measures, Base base) {
  for (std::size_t i = 0; i < measures.size(); ++i) {
    if (const Status status = check_measure(measures[i]); !status) return status.problem();
    for (std::size_t j = 0; j < i; ++j) {
      if (measures[j].name == measures[i].name) {
        return Problem{Trouble::kBadValue,
                       fmt::format("the measure \"{}\" is there twice", measures[i].name),
                       {},
                       {},
                       {}};
      }
    }
  }
  MeasureTable table;
  table.measures_ = std::move(measures);
  table.base_ = std::move(base);
  return table;
}

std::optional<std::size_t> MeasureTable::index(std::string_view name) const {
  for (std::size_t i = 0; i < measures_.size(); ++i) {
    if (measures_[i].name == name) return i;
  }
  return std::nullopt;
}

Fraction MeasureTable::exact(std::size_t index, const SizeWidth& at) const {
  return value_of(measures_.at(index), base_, at);
}

double MeasureTable::value(std::size_t index, const SizeWidth& at) const {
  return exact(index, at).value();
}

std::vector<double> MeasureTable::increments(const SizeWidth& at) const {
  std::vector<double> all;
  all.reserve(measures_.size());
  for (const Measure& measure : measures_) all.push_back(increment_of(measure, base_, at).value());
  return all;
}

Result<Measure> measure_from_scale(std::string name, const Scale& scale, const Size& base) {
  if (scale.sizes == Sizes::kFoot) {
    return Problem{
        Trouble::kBadValue,
        fmt::format("the scale \"{}\" sizes the foot, so \"{}\" cannot follow it: give the last's own base "
                    "value and step",
                    scale.key, name),
        {},
        {},
        {}};
  }
  Measure measure;
  measure.name = std::move(name);
  measure.base = millimetres(scale.length(base));
  measure.per_size = millimetres(scale.step);
  measure.per_width = millimetres(0);
  measure.source = scale.source;
  return measure;
}

Result<Measure> bind_measure(const MeasureSpec& spec, const Scale& scale, const Size& base) {
  Measure measure;
  if (spec.from_scale) {
    Result<Measure> from_scale = measure_from_scale(spec.name, scale, base);
    if (!from_scale) return from_scale.problem();
    measure = std::move(*from_scale);
    if (!spec.per_width.written.empty()) measure.per_width = spec.per_width;
  } else {
    measure.name = spec.name;
    measure.base = spec.base;
    measure.per_size = spec.per_size;
    measure.per_width = spec.per_width;
    measure.law = spec.law;
    measure.source = spec.source;
  }
  measure.size_steps_per_width = spec.size_steps_per_width;
  for (std::size_t i = 0; i < spec.breaks.size(); ++i) {
    const MeasureBreakSpec& stretch = spec.breaks[i];
    const auto at = [&](Problem problem, const char* end) {
      problem.place.pointer = pointer_to("/breaks", i) + end;
      return problem;
    };
    const Result<Size> from = scale.size(stretch.from);
    if (!from) return at(from.problem(), "/from");
    const Result<Size> to = scale.size(stretch.to);
    if (!to) return at(to.problem(), "/to");
    measure.breaks.push_back({*from, *to, stretch.per_size, stretch.per_width});
  }
  if (const Status status = check_measure(measure); !status) return status.problem();
  return measure;
}

Result<MeasureTable> measure_table(const StyleSpec& style, const Scale& scale, const Ladder& ladder) {
  const Result<SizeRun> run = size_run(style, scale, ladder);
  if (!run) return run.problem();
  const Base base{run->base, scale.length(run->base.size), scale.step};
  std::vector<Measure> measures;
  for (const MeasureSpec& spec : style.measures) {
    Result<Measure> measure = bind_measure(spec, scale, run->base.size);
    if (!measure) {
      Problem problem = measure.problem();
      problem.place.pointer = pointer_to("/measures", spec.name) + problem.place.pointer;
      return problem;
    }
    measures.push_back(std::move(*measure));
  }
  Result<MeasureTable> table = MeasureTable::build(std::move(measures), base);
  if (!table) {
    Problem problem = table.problem();
    problem.place.pointer = "/measures";
    return problem;
  }
  for (const SizeWidth& cell : run->cells()) {
    for (std::size_t i = 0; i < table->size(); ++i) {
      const double value = table->value(i, cell);
      if (value > 0) continue;
      return Problem{Trouble::kBadValue,
                     "the increments take the measure below 0",
                     {{}, 0, pointer_to("/measures", table->measures()[i].name), {}},
                     value,
                     0.0}
          .in("width", cell.width.label)
          .in("size", cell.size.label);
    }
  }
  return table;
}

}  // namespace lastwright
