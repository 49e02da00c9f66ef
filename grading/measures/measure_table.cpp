#include "grading/measures/measure_table.hpp"

#include <fmt/format.h>

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

}  // namespace lastwright
