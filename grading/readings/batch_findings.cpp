#include "grading/readings/batch_findings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace lastwright {
namespace {

// An increment of the trade is named when it lies within this two-sided interval of the fitted one: 99.9 %.
constexpr double kNamingTail = 0.0005;

std::string percent(double confidence) {
  return fmt::format("{:g} %", confidence * 100.0);
}

double worth(const std::optional<Limit>& limit, const BatchOptions& options) {
  return options.worth_a_word * (limit ? 0.5 * (limit->below + limit->above) : 1.0);
}

std::string label_of(const SizeWidth& at) {
  return at.size.label + " " + at.width.label;
}

class Describer {
 public:
  Describer(const BatchReport& report, const MeasureTable& table, const ReadingLimits& limits,
            const BatchOptions& options)
      : report_(report), table_(table), limits_(limits), options_(options) {
    for (const BatchFit& fit : report.fits) tested_ += fit.used >= kLeastForCommon ? 1.0 : 0.0;
  }

  std::vector<Finding> all() {
    for (std::size_t m = 0; m < table_.size(); ++m) {
      const BatchFit& fit = report_.fits[m];
      if (fit.used < kLeastForCommon) continue;
      const std::size_t before = findings_.size();
      step(m, fit.by_size, true);
      step(m, fit.by_width, false);
      offset(m, fit, findings_.size() > before);
      if (findings_.size() > before) common_.insert(m);
    }
    groups();
    items();
    readings();
    pairs();
    return std::move(findings_);
  }

 private:
  [[nodiscard]] const std::string& name(std::size_t m) const { return table_.measures()[m].name; }
  void add(Finding::Kind kind, std::string text) { findings_.push_back({kind, std::move(text)}); }

  // At the middle of the batch; where a step is wrong, at the base, so that one fault is told once.
  void offset(std::size_t m, const BatchFit& fit, bool wrong_step) {
    const Estimate off = wrong_step ? fit.at(0.0, 0.0, options_.confidence) : fit.offset;
    if (!off.known || off.p * tested_ > options_.false_alarm) return;
    if (std::abs(off.value) <= worth(limits_.value[m], options_)) return;
    add(Finding::Kind::kOffset,
        fmt::format("the {} {} is {:.2f} mm {} the table ({}: {:.2f} to {:.2f})", name(m),
                    wrong_step ? "in the base size and width" : "of the whole batch", std::abs(off.value),
                    off.value > 0 ? "over" : "under", percent(options_.confidence), off.low, off.high));
  }

  // How far the readings lie from the base, in steps: a wrong step matters by what it adds up to there.
  [[nodiscard]] double reach(bool by_size) const {
    double most = 0.0;
    for (const JudgedItem& item : report_.items) {
      const double steps = by_size ? (item.stamped.size - table_.base().at.size).count.value()
                                   : (item.stamped.width - table_.base().at.width).count.value();
      most = std::max(most, std::abs(steps));
    }
    return most;
  }

  void step(std::size_t m, const Estimate& extra, bool by_size) {
    if (!extra.known || extra.p * 2.0 * tested_ > options_.false_alarm) return;
    if (std::abs(extra.value) * reach(by_size) <= 2.0 * worth(limits_.value[m], options_)) return;
    const Measure& measure = table_.measures()[m];
    const char* step_name = by_size ? "size" : "width";
    const Quantity& asked = by_size ? measure.per_size : measure.per_width;
    const bool one_step = measure.breaks.empty() && (!by_size || measure.law == Law::kArithmetic);
    std::string text;
    if (one_step) {
      const double table_step = asked.millimetres.value();
      text = fmt::format("the {} grows by {:.2f} mm a {} ({}: {:.2f} to {:.2f}) where the table asks for {}",
                         name(m), table_step + extra.value, step_name, percent(options_.confidence),
                         table_step + extra.low, table_step + extra.high, asked.written);
      if (asked.written.find("mm") == std::string::npos) text += fmt::format(" ({:.2f} mm)", table_step);
      const BatchFit& fit = report_.fits[m];
      const std::size_t axis = by_size ? 1 : 2;
      const double wide =
          -student_t_quantile(kNamingTail, fit.freedom()) * std::sqrt(fit.covariance[axis][axis]);
      const auto plain = plain_increments(table_step + extra.value, wide);
      if (!plain.empty()) text += ": it was graded with " + plain.front();
      if (plain.size() > 1) text += " or " + plain[1];
    } else {
      text = fmt::format("the {} grows by {:.2f} mm a {} {} than the table ({}: {:.2f} to {:.2f})", name(m),
                         std::abs(extra.value), step_name, extra.value > 0 ? "more" : "less",
                         percent(options_.confidence), extra.low, extra.high);
    }
    add(by_size ? Finding::Kind::kStepBySize : Finding::Kind::kStepByWidth, std::move(text));
  }

  // All sizes and widths of all measures are asked at once. Where several of a measure stand out, only the
  // one that stands out most is named: a drifted size pulls the others' fit.
  void groups() {
    double tests = 0.0;
    for (const Group& group : report_.groups) tests += group.beyond.known ? 1.0 : 0.0;
    std::map<std::size_t, const Group*> worst;
    for (const Group& group : report_.groups) {
      if (!group.beyond.known || group.summary.count < 2 || group.beyond.p * tests > options_.false_alarm)
        continue;
      if (std::abs(group.beyond.value) <= worth(limits_.value[*group.measure], options_)) continue;
      const Group*& most = worst[*group.measure];
      if (!most || group.beyond.p < most->beyond.p) most = &group;
    }
    drifted_ = worst;
    for (const auto& [measure, group] : worst) {
      const bool by_size = !group->size.empty();
      const Estimate& beyond = group->beyond;
      add(by_size ? Finding::Kind::kSize : Finding::Kind::kWidth,
          fmt::format("{} {} stands out: its {} is {:.2f} mm {} what the others lead to ({}: {:.2f} to "
                      "{:.2f}, {} lasts)",
                      by_size ? "size" : "width", by_size ? group->size : group->width, name(measure),
                      std::abs(beyond.value), beyond.value > 0 ? "over" : "under",
                      percent(options_.confidence), beyond.low, beyond.high, group->summary.count));
    }
  }

  void items() {
    std::map<std::pair<std::string, std::string>, int> moved;
    for (const JudgedItem& item : report_.items) {
      const std::string who =
          fmt::format("{} {}, stamped {}", item.id, name_of(item.foot), label_of(item.stamped));
      if (item.match.match == Match::kMisStamped) {
        add(Finding::Kind::kMisStamped,
            fmt::format("{}: its readings are those of {} ({:.1f} % sure)", who, label_of(item.best),
                        certainty_percent(item.match.certainty)));
        ++moved[{label_of(item.stamped), label_of(item.best)}];
      } else if (item.match.match == Match::kDoubtful) {
        add(Finding::Kind::kMisStamped,
            fmt::format("{}: its readings fit {} better, but not surely ({:.0f} %; the stamp {:.0f} %)", who,
                        label_of(item.best), 100.0 * item.match.certainty,
                        100.0 * item.match.stamp_certainty));
      } else if (item.match.match == Match::kFitsNone) {
        add(Finding::Kind::kFitsNone,
            fmt::format("{}: no size and width of the run explains its readings", who));
      }
    }
    for (const auto& [way, count] : moved) {
      const auto back = moved.find({way.second, way.first});
      if (back == moved.end() || !(way.first < way.second)) continue;
      add(Finding::Kind::kSwapped,
          fmt::format("the stamps {} and {} look swapped: {} lasts one way, {} the other", way.first,
                      way.second, count, back->second));
    }
  }

  // What findings about the whole batch lead to at this reading.
  [[nodiscard]] double led_to(const Reading& reading) const {
    double sum = 0.0;
    if (const auto apart = report_.gauges_apart.find(reading.gauge); apart != report_.gauges_apart.end())
      sum += apart->second;
    const SizeWidth& at = reading.stamped;
    if (common_.contains(reading.measure)) {
      sum += report_.fits[reading.measure].expected((at.size - table_.base().at.size).count.value(),
                                                    (at.width - table_.base().at.width).count.value());
    }
    if (const auto drift = drifted_.find(reading.measure); drift != drifted_.end()) {
      const Group& group = *drift->second;
      if (group.size == at.size.label || group.width == at.width.label) sum += group.beyond.value;
    }
    return sum;
  }

  // One finding a last. A mis-stamped one is held against what it really is: against its stamp it is wrong
  // already.
  void readings() {
    std::map<std::pair<std::string, Foot>, std::vector<const JudgedReading*>> by_item;
    for (const JudgedReading& one : report_.readings)
      by_item[{one.reading.id, one.reading.foot}].push_back(&one);
    std::map<std::size_t, int> led;  // by measure: beyond, but where the batch findings lead
    for (const JudgedItem& item : report_.items) {
      const bool other = item.match.match == Match::kMisStamped;
      const SizeWidth& at = other ? item.best : item.stamped;
      std::string beyond;
      for (const JudgedReading* one : by_item[{item.id, item.foot}]) {
        const std::size_t m = one->reading.measure;
        const auto& limit = limits_.value[m];
        if (!limit) continue;
        const double off = one->reading.value - table_.value(m, at);
        if (verdict_of(off, limit) == Verdict::kWithin) continue;
        const double sum = led_to(one->reading);
        if (sum != 0.0 && verdict_of(off - sum, limit) == Verdict::kWithin) {
          ++led[m];
          continue;
        }
        beyond +=
            fmt::format("{}{} {:.2f} mm {} the table (limit {:.2f})", beyond.empty() ? "" : ", ", name(m),
                        std::abs(off), off > 0 ? "over" : "under", off > 0 ? limit->above : limit->below);
        if (!one->reading.gauge.empty()) beyond += fmt::format(" by {}", one->reading.gauge);
      }
      if (beyond.empty()) continue;
      const std::string stamp = "stamped " + label_of(item.stamped);
      add(Finding::Kind::kReading,
          fmt::format("{} {}, {}: {}", item.id, name_of(item.foot),
                      other ? fmt::format("{}, held against {}", stamp, label_of(at)) : stamp, beyond));
    }
    for (const auto& [m, count] : led) {
      add(Finding::Kind::kReading,
          fmt::format("{} reading{} of the {} beyond the limit, where the findings above lead", count,
                      count == 1 ? "" : "s", name(m)));
    }
  }

  void pairs() {
    for (std::size_t i = 0; i < report_.pairs.size(); ++i) {
      const JudgedPair& pair = report_.pairs[i];
      if (!pair.one_stamp && (i == 0 || report_.pairs[i - 1].id != pair.id))
        add(Finding::Kind::kPair, fmt::format("{}: left and right carry different stamps", pair.id));
      if (pair.verdict != Verdict::kBelow && pair.verdict != Verdict::kAbove) continue;
      add(Finding::Kind::kPair,
          fmt::format("{}: the {} of the left is {:.2f} mm {} the right's (limit {:.2f})", pair.id,
                      name(pair.measure), std::abs(pair.left_minus_right),
                      pair.left_minus_right > 0 ? "over" : "under",
                      pair.left_minus_right > 0 ? limits_.pair[pair.measure]->above
                                                : limits_.pair[pair.measure]->below));
    }
  }

  const BatchReport& report_;
  const MeasureTable& table_;
  const ReadingLimits& limits_;
  const BatchOptions& options_;
  double tested_ = 0.0;
  std::set<std::size_t> common_;                 // measures whose batch is off, or has a wrong step
  std::map<std::size_t, const Group*> drifted_;  // the size or width that stands out, by measure
  std::vector<Finding> findings_;
};

}  // namespace

double certainty_percent(double certainty) {
  return std::min(99.9, std::floor(1000.0 * certainty) / 10.0);
}

std::string describe_gauge(const GaugeOffset& gauge, double confidence) {
  return fmt::format(
      "the gauge \"{}\" reads {:.2f} mm {} than the others; against the table {:+.2f} mm ({}: {:.2f} to "
      "{:.2f}, {} readings): check it, its readings were set right by this before judging the lasts",
      gauge.gauge, std::abs(gauge.apart), gauge.apart > 0 ? "more" : "less", gauge.summary.mean,
      percent(confidence), gauge.summary.mean_low, gauge.summary.mean_high, gauge.summary.count);
}

std::vector<std::string> plain_increments(double value, double within) {
  constexpr double kInch = 25.4;
  struct Offer {
    double off;
    std::string text;
  };
  std::vector<Offer> offers;
  const auto offer = [&](double step, std::string text) {
    if (std::abs(step - value) <= within) offers.push_back({std::abs(step - value), std::move(text)});
  };
  const auto inch = [&](int numerator, int denominator) {
    const double step = kInch * numerator / denominator;
    offer(step, fmt::format("{} in ({:.2f} mm)", to_mixed(Fraction(numerator, denominator)), step));
  };
  // Plain ones first: sixteenths and whole millimetres; finer ones only where no plain one will do.
  for (int k = 1; k <= 16; ++k) inch(k, 16);
  for (int k = 1; k <= 20; ++k) offer(k, fmt::format("{} mm", k));
  if (offers.empty()) {
    for (const int part : {3, 6, 9, 12, 18}) inch(1, part);
    for (int k = 1; k <= 31; k += 2) inch(k, 32);
    for (int k = 1; k <= 39; k += 2) offer(0.5 * k, fmt::format("{:.1f} mm", 0.5 * k));
  }
  std::stable_sort(offers.begin(), offers.end(),
                   [](const Offer& a, const Offer& b) { return a.off < b.off; });
  std::vector<std::string> nearest;
  for (std::size_t i = 0; i < offers.size() && i < 2; ++i) nearest.push_back(offers[i].text);
  return nearest;
}

std::vector<Finding> describe_batch(const BatchReport& report, const MeasureTable& table,
                                    const ReadingLimits& limits, const BatchOptions& options) {
  return Describer(report, table, limits, options).all();
}

}  // namespace lastwright
