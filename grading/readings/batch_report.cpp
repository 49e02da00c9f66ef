#include "grading/readings/batch_report.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "grading/readings/batch_groups.hpp"
#include "grading/readings/graded_steps.hpp"
#include "grading/readings/item_fits.hpp"
#include "grading/readings/natural_order.hpp"
#include "grading/readings/wording.hpp"

namespace lastwright {
namespace {

using Eigen::Index;

using ItemKey = std::pair<std::string, Foot>;

// What the readings cannot tell of so few lasts is taken from the user's limits: work that keeps them
// scatters by a third of them.
NoisePrior noise_for(const BatchLayout& layout, const ReadingLimits& limits, const SearchOptions& options) {
  NoisePrior prior = options.noise;
  if (layout.lasts.size() >= options.least_lasts) return prior;
  for (const std::size_t m : layout.measures) {
    if (const auto& limit = limits.value[m])
      prior.reading = std::max(prior.reading, (limit->below + limit->above) / 6.0);
  }
  return prior;
}

// A slip is a reading that the narrow part of the noise has next to no share in.
constexpr double kStandsApart = 0.002;

class Batch {
 public:
  Batch(const std::vector<Reading>& readings, const MeasureTable& table, const SizeRun& run,
        const ReadingLimits& limits, const BatchOptions& options)
      : readings_(readings), table_(table), run_(run), limits_(limits), options_(options) {}

  BatchReport report() {
    judge_readings();
    if (readings_.empty()) return std::move(report_);
    SearchOptions search = options_.search;
    report_.layout = lay_out(readings_, table_);
    report_.layout.ladder = search.ladder;
    search.noise = noise_for(report_.layout, limits_, search);
    report_.explained = explain(report_.layout, table_, run_, search);
    if (report_.layout.lasts.size() < search.least_lasts) keep_within_limits();
    explain_readings();
    judge_items();
    fit_items(report_, table_, run_, search);
    judge_pairs();
    report_.steps = graded_steps(report_, readings_, table_, options_.confidence);
    report_.groups = batch_groups(report_, table_, run_, options_.confidence);
    report_.findings = cause_findings(report_, table_, options_.confidence);
    for (BatchFinding& finding : limit_findings(report_, table_, limits_))
      report_.findings.push_back(std::move(finding));
    report_.not_shown = not_shown(report_.layout, report_.explained.fit.noise, table_, run_, search);
    return std::move(report_);
  }

 private:
  void judge_readings() {
    std::set<std::pair<Fraction, Fraction>> cells;
    for (const Reading& reading : readings_) {
      const double wanted = table_.value(reading.measure, reading.stamped);
      const double off = reading.value - wanted;
      const ReadingVerdict verdict = verdict_of(off, limits_.value[reading.measure], reading.step);
      report_.readings.push_back({reading, wanted, off, 0.0, verdict, verdict, false});
      cells.insert({reading.stamped.size.position, reading.stamped.width.position});
    }
    report_.cells_read = cells.size();
  }

  // Of so few lasts only what the user's own limits call wrong is worth a word.
  void keep_within_limits() {
    std::vector<Explanation>& causes = report_.explained.causes;
    const auto fine = [&](const Explanation& one) {
      return std::none_of(one.cause.column.begin(), one.cause.column.end(), [&](const auto& entry) {
        const std::size_t i = report_.layout.readings[static_cast<std::size_t>(entry.first)].original;
        return report_.readings[i].verdict != ReadingVerdict::kWithin;
      });
    };
    std::erase_if(causes, fine);
  }

  void explain_readings() {
    const BatchLayout& layout = report_.layout;
    for (const Explanation& one : report_.explained.causes) {
      for (const auto& [row, value] : one.cause.column) {
        report_.readings[layout.readings[static_cast<std::size_t>(row)].original].explained +=
            value * one.amount;
      }
    }
    for (Index i = 0; i < layout.count(); ++i) {
      JudgedReading& one = report_.readings[layout.readings[static_cast<std::size_t>(i)].original];
      one.left =
          verdict_of(one.deviation - one.explained, limits_.value[one.reading.measure], one.reading.step);
      one.stands_out =
          report_.explained.fit.mode.narrow(i) < kStandsApart && one.left != ReadingVerdict::kWithin;
    }
  }

  void judge_items() {
    for (const auto& [id, foot] : report_.layout.lasts) {
      report_.items.emplace_back();
      report_.items.back().id = id;
      report_.items.back().foot = foot;
    }
    for (const PlacedReading& placed : report_.layout.readings) {
      const JudgedReading& one = report_.readings[placed.original];
      JudgedItem& item = report_.items[placed.last];
      item.stamped = one.reading.stamped;
      ++item.readings;
      if (beyond(one.verdict)) ++item.beyond;
      if (std::abs(one.deviation) > std::abs(item.worst)) item.worst = one.deviation;
    }
  }

  void judge_pairs() {
    struct Mean {
      double sum = 0.0;
      double explained = 0.0;
      double step = 0.0;
      int count = 0;
      const Reading* reading = nullptr;
    };
    std::map<std::pair<std::string, std::size_t>, std::pair<Mean, Mean>, NaturalOrder> pairs;
    for (const JudgedReading& judged : report_.readings) {
      const Reading& one = judged.reading;
      auto& both = pairs[{one.id, one.measure}];
      Mean& mean = one.foot == Foot::kLeft ? both.first : both.second;
      mean.sum += one.value;
      mean.explained += judged.explained;
      mean.step = std::max(mean.step, one.step);
      ++mean.count;
      mean.reading = &one;
    }
    for (const auto& [key, both] : pairs) {
      const auto& [left, right] = both;
      if (!left.count || !right.count) continue;
      const SizeWidth& one = left.reading->stamped;
      const SizeWidth& other = right.reading->stamped;
      const bool same = same_cell(one, other);
      const double apart = left.sum / left.count - right.sum / right.count;
      const double explained = left.explained / left.count - right.explained / right.count;
      const double noted_to = left.step + right.step;
      const auto verdict = [&, m = key.second](double off) {
        return verdict_of(off, limits_.pair[m], noted_to);
      };
      report_.pairs.push_back(
          {key.first, key.second, apart, verdict(apart), verdict(apart - explained), same, noted_to});
    }
  }

  const std::vector<Reading>& readings_;
  const MeasureTable& table_;
  const SizeRun& run_;
  const ReadingLimits& limits_;
  const BatchOptions& options_;
  BatchReport report_;
};

}  // namespace

ReadingVerdict verdict_of(double off, const std::optional<Limit>& limit, double noted_to) {
  // A thousandth of a micrometre: the limit itself is good,
  // whatever the last bit of a conversion from inches.
  constexpr double kRounding = 1e-6;
  if (!limit) return ReadingVerdict::kNoLimit;
  const double half = 0.5 * noted_to + kRounding;
  if (off < -limit->below - half) return ReadingVerdict::kBelow;
  return off > limit->above + half ? ReadingVerdict::kAbove : ReadingVerdict::kWithin;
}

bool beyond(ReadingVerdict verdict) {
  return verdict == ReadingVerdict::kBelow || verdict == ReadingVerdict::kAbove;
}

const char* name_of(ReadingVerdict verdict) {
  switch (verdict) {
    case ReadingVerdict::kWithin:
      return "within";
    case ReadingVerdict::kBelow:
      return "below";
    case ReadingVerdict::kAbove:
      return "above";
    case ReadingVerdict::kNoLimit:
      return "no limit";
  }
  return "no limit";
}

bool BatchReport::all_good() const {
  return findings.empty() &&
         std::none_of(readings.begin(), readings.end(),
                      [](const auto& one) { return beyond(one.verdict); }) &&
         std::none_of(pairs.begin(), pairs.end(), [](const auto& one) { return beyond(one.verdict); });
}

BatchReport judge_batch(const std::vector<Reading>& readings, const MeasureTable& table, const SizeRun& run,
                        const ReadingLimits& limits, const BatchOptions& options) {
  return Batch(readings, table, run, limits, options).report();
}

}  // namespace lastwright
