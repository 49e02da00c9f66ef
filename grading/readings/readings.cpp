#include "grading/readings/readings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>
#include <set>

#include "grading/readings/gauge_step.hpp"
#include "grading/readings/slips.hpp"
#include "grading/sizes/small_letters.hpp"
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
  for (const T& one : all) {
    if (small_letters(one.label) == small_letters(label)) return one;
  }
  return std::nullopt;
}

// "mm", "cm", "in"; as it is where it is none of their spellings.
std::string unit_of(const std::string& text) {
  const std::string unit = small_letters(text);
  for (const char* inch : {"in", "inch", "inches", "in.", "\"", "''", "\xE2\x80\xB3", "\xE2\x80\x9D"}) {
    if (unit == inch) return "in";
  }
  return unit == "mm" || unit == "cm" ? unit : text;
}

struct Noted {
  std::string value;
  std::string unit;
};

// Value and unit of a row; the unit may stand behind the value: 9 23/32".
Noted noted(const ReadingRow& row) {
  const std::size_t end = row.value.find_last_of("0123456789.,");
  Noted made{row.value, unit_of(row.unit)};
  if (end == std::string::npos || end + 1 == row.value.size()) return made;
  std::string behind = row.value.substr(end + 1);
  behind.erase(0, behind.find_first_not_of(' '));
  const std::string unit = unit_of(behind);
  if (unit != "mm" && unit != "cm" && unit != "in") return made;
  made.value = row.value.substr(0, end + 1);
  if (made.unit.empty()) made.unit = unit;
  if (made.unit != unit) made.unit = row.unit + " and " + behind;
  return made;
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
    reading.others = row.others;
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
    if (!run_.makes(reading.stamped)) {
      const auto at = std::find_if(run_.sizes.begin(), run_.sizes.end(),
                                   [&](const Size& one) { return one.position == size->position; });
      return bad(row,
                 fmt::format("the run does not make {} {}; size {} is made in {}", size->label, width->label,
                             size->label, run_.widths_of(static_cast<std::size_t>(at - run_.sizes.begin()))));
    }
    const std::string hand = small_letters(row.hand);
    if (hand == "left" || hand == "l") {
      reading.foot = Foot::kLeft;
    } else if (hand == "right" || hand == "r") {
      reading.foot = Foot::kRight;
    } else {
      return bad(row, fmt::format("the hand is \"{}\"; left or right will do", row.hand));
    }
    auto measure = table_.index(row.measure);
    for (std::size_t i = 0; i < measures_.size() && !measure; ++i) {
      if (small_letters(measures_[i]) == small_letters(row.measure)) measure = i;
    }
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
    const Noted as = noted(row);
    if (as.unit.empty()) return bad(row, "the reading has no unit; mm, cm or in will do");
    if (as.unit != "mm" && as.unit != "cm" && as.unit != "in") {
      return bad(row, fmt::format("the unit is \"{}\"; mm, cm or in will do", as.unit));
    }
    if (as.value.find(',') != std::string::npos) {
      return bad(row, fmt::format("the value \"{}\" has a comma; the decimal sign is a point", row.value));
    }
    const Result<Fraction> number = parse_fraction(as.value);
    if (!number) return bad(row, fmt::format("the value \"{}\" is not a number", row.value));
    const Result<Quantity> length = parse_quantity(as.value + " " + as.unit);
    if (!length) return bad(row, length.problem().message);
    reading.value = length->millimetres.value();
    reading.inches = as.unit == "in";
    const double least = least_[reading.measure];
    const double most = most_[reading.measure];
    if (reading.value < least || reading.value > most) {
      const auto meant = likely_factor(reading.value, least, most);
      return bad(row,
                 fmt::format("{} {} cannot be the {}: the run has {:.0f} to {:.0f} mm{}", as.value, as.unit,
                             measures_[reading.measure], least, most, meant ? "; " + *meant : ""));
    }
    return reading;
  }

  const MeasureTable& table_;
  const SizeRun& run_;
  std::vector<std::string> measures_;
  std::vector<double> least_;  // by measure, millimetres
  std::vector<double> most_;
};

}  // namespace

const char* name_of(Foot foot) {
  return foot == Foot::kLeft ? "left" : "right";
}

CheckedReadings check_readings(const std::vector<ReadingRow>& rows, const MeasureTable& table,
                               const SizeRun& run, const ReadingsCheck& options) {
  const RowReader reader(table, run, options);
  CheckedReadings checked;
  std::map<std::string, std::size_t> counts;  // by id
  std::set<std::string> gauges;
  std::map<std::pair<std::string, Foot>, const ReadingRow*> stamps;
  std::map<std::pair<std::string, bool>, GaugeStep> steps;  // by gauge and whether in inches
  std::vector<Fraction> noted_as;
  for (const ReadingRow& row : rows) {
    Result<Reading> reading = reader.read(row);
    if (!reading) {
      checked.bad_rows.push_back(reading.problem());
      continue;
    }
    const auto [stamp, first_stamp] = stamps.try_emplace({reading->id, reading->foot}, &row);
    const bool same =
        first_stamp ||
        (labelled(run.widths, stamp->second->width)->position == reading->stamped.width.position &&
         labelled(run.sizes, stamp->second->size)->position == reading->stamped.size.position);
    if (!same) {
      checked.bad_rows.push_back(
          RowReader::bad(row, fmt::format("{} {} is stamped {} {} here, and {} {} in line {}", reading->id,
                                          name_of(reading->foot), row.size, row.width, stamp->second->size,
                                          stamp->second->width, stamp->second->line)));
      continue;
    }
    std::size_t& of_last = counts[reading->id];
    if (of_last >= options.most_of_last) {
      checked.bad_rows.push_back(
          RowReader::bad(row, fmt::format("more than {} readings of {}: each pair needs its own id",
                                          options.most_of_last, reading->id)));
      continue;
    }
    gauges.insert(row.gauge);
    if (gauges.size() > options.most_gauges) {
      checked.bad_rows.push_back(RowReader::bad(
          row, fmt::format("more than {} gauges, \"{}\" the next: the column names the tape that was read",
                           options.most_gauges, row.gauge)));
      gauges.erase(row.gauge);
      continue;
    }
    ++of_last;
    const Noted as = noted(row);
    const Fraction written = *parse_fraction(as.value) * (as.unit == "cm" ? 10 : 1);
    noted_as.push_back(written);
    steps.try_emplace({row.gauge, reading->inches}, reading->inches).first->second.add(written);
    checked.readings.push_back(*std::move(reading));
  }
  for (std::size_t i = 0; i < checked.readings.size(); ++i) {
    Reading& reading = checked.readings[i];
    reading.step = steps.at({reading.gauge, reading.inches}).of(noted_as[i]);
  }
  return checked;
}

}  // namespace lastwright
