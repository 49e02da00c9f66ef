#include "grading/style/style_measures.hpp"

#include "grading/json/json_text.hpp"
#include "grading/style/style_run.hpp"

namespace lastwright {

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
