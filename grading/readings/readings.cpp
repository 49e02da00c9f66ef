#include "grading/readings/readings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <numeric>
#include <optional>
#include <tuple>

#include "grading/sizes/suggest.hpp"

namespace lastwright {
namespace {

template <class T>
std::optional<T> labelled(const std::vector<T>& all, const std::string& label) {
  const Result<Fraction> number = parse_fraction(label);
  for (const T& one : all) {
    if (one.label == label) return one;
    const Result<Fraction> made = parse_fraction(one.label);
    if (number && made && *number == *made) return one;
  }
  return std::nullopt;
}

template <class T>
std::vector<std::string> labels_of(const std::vector<T>& all) {
  std::vector<std::string> labels;
  for (const T& one : all) labels.push_back(one.label);
  return labels;
}

class RowReader {
 public:
  RowReader(const MeasureTable& table, const SizeRun& run, const ReadingsCheck& options)
      : table_(table), run_(run) {
    for (std::size_t i = 0; i < table.size(); ++i) {
      measures_.push_back(table.measures()[i].name);
      double least = table.value(i, run.cells().front());
      double most = least;
      for (const SizeWidth& cell : run.cells()) {
        least = std::min(least, table.value(i, cell));
        most = std::max(most, table.value(i, cell));
      }
      least_.push_back(least * (1.0 - options.impossible_part));
      most_.push_back(most * (1.0 + options.impossible_part));
    }
  }

  Result<Reading> read(const ReadingRow& row) const {
    Reading reading;
    reading.line = row.line;
    reading.gauge = row.gauge;
    if (row.id.empty()) return bad(row, "the row has no id");
    reading.id = row.id;
    const auto size = labelled(run_.sizes, row.size);
    if (!size) {
      return bad(row, fmt::format("the run has no size \"{}\"; it goes from {} to {}", row.size,
                                  run_.sizes.front().label, run_.sizes.back().label));
    }
    const auto width = labelled(run_.widths, row.width);
    if (!width) {
      return bad(row, fmt::format("the run has no width \"{}\"{}", row.width,
                                  suggestion(row.width, labels_of(run_.widths))));
    }
    reading.stamped = {*size, *width};
    if (row.hand == "left" || row.hand == "L") {
      reading.foot = Foot::kLeft;
    } else if (row.hand == "right" || row.hand == "R") {
      reading.foot = Foot::kRight;
    } else {
      return bad(row, fmt::format("the hand is \"{}\"; left or right will do", row.hand));
    }
    const auto measure = table_.index(row.measure);
    if (!measure) {
      return bad(row, fmt::format("the style has no measure \"{}\"{}", row.measure,
                                  suggestion(row.measure, measures_)));
    }
    reading.measure = *measure;
    return with_value(std::move(reading), row);
  }

  static Problem bad(const ReadingRow& row, std::string message) {
    return {Trouble::kBadValue, std::move(message), {{}, row.line, {}, {}}, {}, {}};
  }

 private:
  Result<Reading> with_value(Reading reading, const ReadingRow& row) const {
    if (row.unit.empty()) return bad(row, "the reading has no unit; mm, cm or in will do");
    if (row.unit != "mm" && row.unit != "cm" && row.unit != "in") {
      return bad(row, fmt::format("the unit is \"{}\"; mm, cm or in will do", row.unit));
    }
    if (row.value.find(',') != std::string::npos) {
      return bad(row, fmt::format("the value \"{}\" has a comma; the decimal sign is a point", row.value));
    }
    const Result<Fraction> number = parse_fraction(row.value);
    if (!number) return bad(row, fmt::format("the value \"{}\" is not a number", row.value));
    const Result<Quantity> length = parse_quantity(row.value + " " + row.unit);
    if (!length) return bad(row, length.problem().message);
    reading.value = length->millimetres.value();
    if (reading.value < least_[reading.measure] || reading.value > most_[reading.measure]) {
      return bad(row, fmt::format("{} {} cannot be a {}: the run has {:.0f} to {:.0f} mm", row.value,
                                  row.unit, row.measure, least_[reading.measure], most_[reading.measure]));
    }
    return reading;
  }

  const MeasureTable& table_;
  const SizeRun& run_;
  std::vector<std::string> measures_;
  std::vector<double> least_;  // by measure, millimetres
  std::vector<double> most_;
};

// The step of the readings of one gauge in millimetres or inches, as parts of that unit.
class ReadingStep {
 public:
  explicit ReadingStep(bool inches) : inches_(inches), parts_(inches ? 16 : 1) {}
  void add(Fraction value) {
    if (parts_ == 0) return;
    parts_ = value.denominator() > kFinest ? 0 : std::lcm(parts_, value.denominator());
    if (parts_ > kFinest) parts_ = 0;
  }
  [[nodiscard]] double millimetres() const {
    if (parts_ == 0) return 0.0;
    return (inches_ ? 25.4 : 1.0) / static_cast<double>(parts_);
  }

 private:
  static constexpr std::int64_t kFinest = 1000;
  bool inches_;
  std::int64_t parts_;  // 0: finer than kFinest
};

}  // namespace

const char* name_of(Foot foot) {
  return foot == Foot::kLeft ? "left" : "right";
}

CheckedReadings check_readings(const std::vector<ReadingRow>& rows, const MeasureTable& table,
                               const SizeRun& run, const ReadingsCheck& options) {
  const RowReader reader(table, run, options);
  CheckedReadings checked;
  std::map<std::tuple<std::string, Foot, std::size_t, std::string>, long> seen;
  std::map<std::pair<std::string, Foot>, const ReadingRow*> stamps;
  std::map<std::pair<std::string, bool>, ReadingStep> steps;  // by gauge and whether in inches
  std::vector<bool> in_inches;
  for (const ReadingRow& row : rows) {
    Result<Reading> reading = reader.read(row);
    if (!reading) {
      checked.bad_rows.push_back(reading.problem());
      continue;
    }
    const auto [stamp, first_stamp] = stamps.try_emplace({reading->id, reading->foot}, &row);
    const bool same =
        first_stamp || (stamp->second->width == row.width &&
                        labelled(run.sizes, stamp->second->size)->position == reading->stamped.size.position);
    if (!same) {
      checked.bad_rows.push_back(
          RowReader::bad(row, fmt::format("{} {} is stamped {} {} here, and {} {} in line {}", reading->id,
                                          name_of(reading->foot), row.size, row.width, stamp->second->size,
                                          stamp->second->width, stamp->second->line)));
      continue;
    }
    const auto [before, first] =
        seen.try_emplace({reading->id, reading->foot, reading->measure, reading->gauge}, row.line);
    if (!first) {
      checked.bad_rows.push_back(RowReader::bad(
          row,
          fmt::format("the {} of {} {} is there already, in line {}; another gauge or another id will do",
                      row.measure, reading->id, name_of(reading->foot), before->second)));
      continue;
    }
    const Fraction written = *parse_fraction(row.value) * (row.unit == "cm" ? 10 : 1);
    in_inches.push_back(row.unit == "in");
    steps.try_emplace({row.gauge, in_inches.back()}, in_inches.back()).first->second.add(written);
    checked.readings.push_back(*std::move(reading));
  }
  for (std::size_t i = 0; i < checked.readings.size(); ++i) {
    Reading& reading = checked.readings[i];
    reading.step = steps.at({reading.gauge, in_inches[i]}).millimetres();
  }
  return checked;
}

}  // namespace lastwright
