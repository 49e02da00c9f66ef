#include "grading/readings/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "grading/readings/graded_steps.hpp"
#include "grading/readings/increments.hpp"

namespace lastwright {
namespace {

using Kind = Cause::Kind;
using Change = Cause::Change;

// An increment of the trade is named when it lies within this many standard errors: 99.9 %.
constexpr double kNaming = 3.29;

class CauseNames {
 public:
  CauseNames(const BatchLayout& layout, const MeasureTable& table) : layout_(layout), table_(table) {}

  [[nodiscard]] const std::string& measure(std::size_t m) const { return table_.measures()[m].name; }
  [[nodiscard]] const PlacedReading& first_of_block(std::size_t block) const {
    return layout_.readings[static_cast<std::size_t>(layout_.blocks[block].first)];
  }
  [[nodiscard]] const PlacedReading& first_of_last(std::size_t last) const {
    const auto found = std::find_if(layout_.readings.begin(), layout_.readings.end(),
                                    [&](const PlacedReading& one) { return one.last == last; });
    return *found;
  }
  // "size 9", "the tape \"T2\"", "P1007 left"; empty for the whole batch.
  [[nodiscard]] std::string place(const Cause& cause) const {
    switch (cause.kind) {
      case Kind::kBatch:
      case Kind::kStepBySize:
      case Kind::kStepByWidth:
        return "the whole batch";
      case Kind::kTape:
        return layout_.tapes[cause.place].empty() ? std::string("the gauge without a name")
                                                  : "the gauge \"" + layout_.tapes[cause.place] + "\"";
      case Kind::kHand:
        return cause.place == 0 ? "the lefts" : "the rights";
      case Kind::kSize:
        return "size " + layout_.sizes[cause.place].label;
      case Kind::kWidth:
        return "width " + layout_.widths[cause.place].label;
      case Kind::kStampOfPair:
      case Kind::kPair:
        return layout_.lasts[first_of_block(cause.place).last].first;
      case Kind::kStampOfLast:
      case Kind::kLast:
        return layout_.lasts[cause.place].first + " " + name_of(layout_.lasts[cause.place].second);
    }
    return {};
  }
  [[nodiscard]] std::string stamp(const Cause& cause) const {
    const bool pair = cause.kind == Kind::kStampOfPair || cause.kind == Kind::kPair;
    const PlacedReading& reading = pair ? first_of_block(cause.place) : first_of_last(cause.place);
    return label_of({layout_.sizes[reading.size], layout_.widths[reading.width]});
  }
  // "the ball girth", "all girths", "all readings".
  [[nodiscard]] std::string what(const Cause& cause) const {
    switch (cause.change) {
      case Change::kMeasure:
        return "the " + measure(cause.measure);
      case Change::kGirths:
        return "all girths";
      case Change::kAll:
      case Change::kScale:
      case Change::kOtherCell:
        return "all readings";
    }
    return {};
  }
  // " from child 10 up" of a step in a stretch of the sizes alone, else "".
  [[nodiscard]] std::string stretch(const Cause& cause) const {
    if (cause.kind != Kind::kStepBySize || cause.place == 0) return {};
    const GradedStretch& one = layout_.stretches[cause.place - 1];
    if (one.from && one.to) return fmt::format(" from {} to {}", one.from->label, one.to->label);
    return one.from ? fmt::format(" from {} up", one.from->label) : fmt::format(" up to {}", one.to->label);
  }
  [[nodiscard]] bool plural(const Cause& cause) const { return cause.change != Change::kMeasure; }

 private:
  const BatchLayout& layout_;
  const MeasureTable& table_;
};

// "one width wide", "half a size short".
std::string moved_text(const Cause& cause) {
  if (cause.widths_more != Fraction(0)) return cause.widths_more > 0 ? "one width wide" : "one width narrow";
  const bool half = cause.sizes_more == Fraction(1, 2) || cause.sizes_more == Fraction(-1, 2);
  return fmt::format("{} {}", half ? "half a size" : "one size", cause.sizes_more > 0 ? "long" : "short");
}

// The increment by size that a measure has within a stretch: its borders are those of all measures' breaks.
const Quantity& increment_in(const Measure& measure, const GradedStretch& stretch) {
  for (const MeasureBreak& one : measure.breaks) {
    if (one.per_size && stretch.from && stretch.to && one.from.position <= stretch.from->position &&
        stretch.to->position <= one.to.position)
      return *one.per_size;
    if (one.per_size && !stretch.from && one.from.position < stretch.to->position &&
        one.to.position >= stretch.to->position)
      return *one.per_size;
    if (one.per_size && !stretch.to && one.from.position <= stretch.from->position &&
        one.to.position > stretch.from->position)
      return *one.per_size;
  }
  return measure.per_size;
}

class Sentence {
 public:
  Sentence(const BatchReport& report, const MeasureTable& table, double confidence)
      : names_(report.layout, table),
        layout_(report.layout),
        table_(table),
        causes_(report.explained.causes),
        confidence_(confidence) {}

  [[nodiscard]] BatchFinding of(const Explanation& one) const {
    BatchFinding finding;
    finding.kind = finding_kind(one.cause.kind);
    finding.text = statement(one) + alternatives(one);
    finding.act = act(one.cause);
    return finding;
  }

  [[nodiscard]] std::string short_text(const Cause& cause) const {
    switch (cause.kind) {
      case Kind::kStepBySize:
        return "the step by size of " + names_.what(cause) + names_.stretch(cause);
      case Kind::kStepByWidth:
        return "the step by width of " + names_.what(cause);
      case Kind::kStampOfPair:
        return fmt::format("{}, both hands, really {}", names_.place(cause), label_of(cause.cell));
      case Kind::kStampOfLast:
        return fmt::format("{} really {}", names_.place(cause), label_of(cause.cell));
      default:
        break;
    }
    if (cause.known()) return names_.place(cause) + " " + moved_text(cause);
    std::string text = fmt::format("{} of {}", names_.what(cause), names_.place(cause));
    if (cause.change == Change::kScale) text += " in proportion";
    return text;
  }

 private:
  // Whether another finding of more than single lasts accounts for a part of the same readings.
  [[nodiscard]] bool shared(const Explanation& one) const {
    return std::any_of(causes_.begin(), causes_.end(), [&](const Explanation& other) {
      if (other.cause.of_one_item() ||
          (other.cause.kind == one.cause.kind && same_column(other.cause, one.cause)))
        return false;
      return std::any_of(other.cause.column.begin(), other.cause.column.end(), [&](const auto& entry) {
        const auto at = std::lower_bound(one.cause.column.begin(), one.cause.column.end(), entry.first,
                                         [](const auto& a, Eigen::Index row) { return a.first < row; });
        return at != one.cause.column.end() && at->first == entry.first;
      });
    });
  }

  static const char* act(const Cause& cause) {
    switch (cause.kind) {
      case Kind::kBatch:
      case Kind::kStepBySize:
      case Kind::kStepByWidth:
        return "stop the batch and ask how it was graded";
      case Kind::kTape:
        return "check the tape against a rule, and read again what it read";
      case Kind::kHand:
        return "compare the models of left and right";
      case Kind::kSize:
      case Kind::kWidth:
        return "set it aside and check its model";
      case Kind::kStampOfPair:
      case Kind::kStampOfLast:
        return "set aside and re-stamp";
      case Kind::kPair:
      case Kind::kLast:
        return "set aside and read again";
    }
    return "";
  }

  [[nodiscard]] std::string interval(const Explanation& one, const char* unit = "") const {
    const Estimate made = estimate(std::abs(one.amount), one.amount_spread, confidence_);
    return fmt::format("({:g} %: {:.2f} to {:.2f}{})", 100.0 * confidence_, made.low, made.high, unit);
  }

  [[nodiscard]] std::string statement(const Explanation& one) const {
    const Cause& cause = one.cause;
    if (cause.kind == Kind::kStepBySize || cause.kind == Kind::kStepByWidth) return step(one);
    if (cause.stamp()) {
      return fmt::format(
          "{}, stamped {}: {}readings are those of {}", names_.place(cause), names_.stamp(cause),
          cause.kind == Kind::kStampOfPair ? "left and right, the " : "its ", label_of(cause.cell));
    }
    if (cause.known()) {
      return fmt::format(
          "{} is {}: its readings are those of {}", names_.place(cause), moved_text(cause),
          cause.widths_more != Fraction(0)
              ? (cause.widths_more > 0 ? "the next wider width" : "the next narrower width")
              : fmt::format("{} {}",
                            cause.sizes_more.value() == std::floor(cause.sizes_more.value()) ? "one size"
                                                                                             : "half a size",
                            cause.sizes_more > 0 ? "more" : "less"));
    }
    const bool tape = cause.kind == Kind::kTape;
    if (cause.change == Change::kScale) {
      return fmt::format("{}{} {:.2f} % {} {}", names_.place(cause), tape ? " reads" : ": all readings are",
                         std::abs(one.amount),
                         tape ? (one.amount > 0 ? "more" : "less") : (one.amount > 0 ? "over" : "under"),
                         tape ? "than the table, in proportion " : "the table, in proportion ") +
             interval(one, " %");
    }
    if (tape) {
      return fmt::format("{} reads {:.2f} mm {} than the table and the others, in {} {}", names_.place(cause),
                         std::abs(one.amount), one.amount > 0 ? "more" : "less", names_.what(cause),
                         interval(one));
    }
    const bool further = shared(one);
    return fmt::format("{}: {} {} {}{:.2f} mm {} the table {}{}", names_.place(cause), names_.what(cause),
                       names_.plural(cause) ? "are" : "is", further ? "a further " : "", std::abs(one.amount),
                       one.amount > 0 ? "over" : "under", interval(one),
                       further ? ", beside what is said of the same readings" : "");
  }

  // The step as it is where one increment is asked of all measures concerned, else the difference.
  [[nodiscard]] std::string step(const Explanation& one) const {
    const Cause& cause = one.cause;
    const bool by_size = cause.kind == Kind::kStepBySize;
    // Where widths are not all one step apart, "a width" would be no figure.
    const char* unit = by_size ? "size" : layout_.ladder.empty() ? "width" : "full width step";
    const Quantity* asked = nullptr;
    bool one_step = true;
    for (const std::size_t m : layout_.measures) {
      const Measure& measure = table_.measures()[m];
      const bool concerned = cause.change == Change::kMeasure  ? m == cause.measure
                             : cause.change == Change::kGirths ? is_girth(measure)
                                                               : true;
      if (!concerned) continue;
      const GradedStretch* stretch =
          by_size && cause.place > 0 ? &layout_.stretches[cause.place - 1] : nullptr;
      const Quantity& own = stretch   ? increment_in(measure, *stretch)
                            : by_size ? measure.per_size
                                      : measure.per_width;
      if ((!stretch && !measure.breaks.empty()) || (by_size && measure.law != Law::kArithmetic))
        one_step = false;
      if (asked && !(asked->millimetres == own.millimetres)) one_step = false;
      asked = &own;
    }
    const std::string grow = names_.plural(cause) ? "grow" : "grows";
    if (!asked || !one_step) {
      return fmt::format("{}{} {} by {:.2f} mm a {} {} than the table {}", names_.what(cause),
                         names_.stretch(cause), grow, std::abs(one.amount), unit,
                         one.amount > 0 ? "more" : "less", interval(one));
    }
    const double table_step = asked->millimetres.value();
    const Estimate made = estimate(table_step + one.amount, one.amount_spread, confidence_);
    std::string text =
        fmt::format("{}{} {} by {:.2f} mm a {} ({:g} %: {:.2f} to {:.2f}) where the table asks for {}",
                    names_.what(cause), names_.stretch(cause), grow, made.value, unit, 100.0 * confidence_,
                    made.low, made.high, asked->written);
    if (asked->written.find("mm") == std::string::npos) text += fmt::format(" ({:.2f} mm)", table_step);
    const auto plain = plain_increments(made.value, kNaming * one.amount_spread);
    if (!plain.empty()) text += ": graded with " + plain.front();
    if (plain.size() > 1) text += " or " + plain[1];
    return text;
  }

  [[nodiscard]] std::string alternatives(const Explanation& one) const {
    std::string text;
    for (const Cause& same : one.same) {
      text += text.empty() ? "; or, which these readings cannot tell from it: " : ", ";
      text += short_text(same);
    }
    std::string rivals;
    for (const Cause& rival : one.rivals) {
      rivals += rivals.empty() ? "; or, nearly as likely: " : ", ";
      rivals += short_text(rival);
    }
    text += rivals;
    text +=
        fmt::format("; {} is {} less likely",
                    one.next ? "the next best explanation (" + short_text(*one.next) + ")" : "chance alone",
                    odds_text(one.log_odds));
    return text + advice(one);
  }

  // What to read so that rivals come apart.
  [[nodiscard]] std::string advice(const Explanation& one) const {
    if (one.same.empty() && one.rivals.empty()) return {};
    if (one.cause.stamp()) {
      const bool length = std::any_of(layout_.measures.begin(), layout_.measures.end(),
                                      [&](std::size_t m) { return !is_girth(table_.measures()[m]); });
      return length ? " (read more measures of it to tell)" : " (read its stick length to tell)";
    }
    const auto any = [&](Kind kind) {
      const auto is = [kind](const Cause& cause) { return cause.kind == kind; };
      return is(one.cause) || std::any_of(one.same.begin(), one.same.end(), is) ||
             std::any_of(one.rivals.begin(), one.rivals.end(), is);
    };
    if (any(Kind::kStepByWidth) || any(Kind::kWidth)) return " (read another width to tell)";
    if (any(Kind::kStepBySize) || any(Kind::kSize)) return " (read another size to tell)";
    if (any(Kind::kTape)) return " (read some of these again with another gauge to tell)";
    return {};
  }

  CauseNames names_;
  const BatchLayout& layout_;
  const MeasureTable& table_;
  const std::vector<Explanation>& causes_;
  double confidence_;
};

// Stamps that each fit the other's cell are one exchange.
bool exchanged(const Explanation& a, const Explanation& b, const CauseNames& names) {
  return a.cause.stamp() && b.cause.stamp() && names.stamp(a.cause) == label_of(b.cause.cell) &&
         names.stamp(b.cause) == label_of(a.cause.cell);
}

}  // namespace

double certainty_percent(double certainty) {
  return std::min(99.9, std::floor(1000.0 * certainty) / 10.0);
}

BatchFinding::Kind finding_kind(Cause::Kind kind) {
  switch (kind) {
    case Kind::kBatch:
      return BatchFinding::Kind::kWholeBatch;
    case Kind::kStepBySize:
      return BatchFinding::Kind::kStepBySize;
    case Kind::kStepByWidth:
      return BatchFinding::Kind::kStepByWidth;
    case Kind::kTape:
      return BatchFinding::Kind::kGauge;
    case Kind::kHand:
      return BatchFinding::Kind::kHand;
    case Kind::kSize:
      return BatchFinding::Kind::kSize;
    case Kind::kWidth:
      return BatchFinding::Kind::kWidth;
    case Kind::kStampOfPair:
    case Kind::kStampOfLast:
      return BatchFinding::Kind::kStamp;
    case Kind::kPair:
    case Kind::kLast:
      return BatchFinding::Kind::kLast;
  }
  return BatchFinding::Kind::kLeft;
}

std::string odds_text(double log_odds) {
  const double odds = std::exp(std::min(log_odds, 20.0));
  if (odds > 1e6) return "over a million times";
  if (odds < 10.0) return fmt::format("{:.1f} times", odds);
  const double digit = std::pow(10.0, std::floor(std::log10(odds)) - 1.0);
  return fmt::format("{:.0f} times", std::floor(odds / digit) * digit);
}

std::string short_name(const Cause& cause, const BatchLayout& layout, const MeasureTable& table) {
  BatchReport report;
  report.layout = layout;
  return Sentence(report, table, 0.95).short_text(cause);
}

std::vector<BatchFinding> cause_findings(const BatchReport& report, const MeasureTable& table,
                                         double confidence) {
  const Sentence sentence(report, table, confidence);
  const CauseNames names(report.layout, table);
  std::vector<BatchFinding> findings;
  std::vector<bool> told(report.explained.causes.size(), false);
  for (std::size_t i = 0; i < told.size(); ++i) {
    if (told[i]) continue;
    const Explanation& one = report.explained.causes[i];
    findings.push_back(sentence.of(one));
    for (std::size_t j = i + 1; j < told.size(); ++j) {
      if (told[j] || !exchanged(one, report.explained.causes[j], names)) continue;
      findings.back().text =
          fmt::format("the stamps of {} ({}) and {} ({}) look exchanged. ", names.place(one.cause),
                      names.stamp(one.cause), names.place(report.explained.causes[j].cause),
                      names.stamp(report.explained.causes[j].cause)) +
          findings.back().text + ". " + sentence.of(report.explained.causes[j]).text;
      told[j] = true;
      break;
    }
  }
  if (report.explained.left_over) {
    findings.push_back({BatchFinding::Kind::kLeft,
                        "more is wrong than is said here: " +
                            sentence.short_text(*report.explained.left_over) + " deviates too",
                        "correct what is named, and judge again"});
  }
  std::stable_sort(findings.begin(), findings.end(),
                   [](const BatchFinding& a, const BatchFinding& b) { return a.kind < b.kind; });
  return findings;
}

}  // namespace lastwright
