#include "grading/readings/batch_report.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "grading/readings/batch_findings.hpp"

namespace lastwright {
namespace {

constexpr double kNoLimitScale = 1.0;      // millimetres: stands for a limit where none is known
constexpr std::size_t kEnoughByGauge = 5;  // readings of each gauge before gauges are compared

using ItemKey = std::pair<std::string, Foot>;

double half_limit(const std::optional<Limit>& limit) {
  return limit ? 0.5 * (limit->below + limit->above) : kNoLimitScale;
}

class Batch {
 public:
  Batch(const std::vector<Reading>& readings, const MeasureTable& table, const SizeRun& run,
        const ReadingLimits& limits, const BatchOptions& options)
      : table_(table), run_(run), limits_(limits), options_(options), cells_(run.cells()) {
    for (const Reading& reading : readings) {
      const double wanted = table.value(reading.measure, reading.stamped);
      const double off = reading.value - wanted;
      report_.readings.push_back({reading, wanted, off, verdict_of(off, limits.value[reading.measure])});
      offs_.push_back(off);
      by_item_[{reading.id, reading.foot}].push_back(report_.readings.size() - 1);
    }
  }

  BatchReport report() {
    fit_all();
    take_out_gauges();
    match_items();
    fit_all();
    judge_pairs();
    find_groups();
    std::vector<std::pair<std::string, std::string>> read;
    for (const auto& [key, indices] : by_item_) {
      const SizeWidth& at = reading(indices.front()).stamped;
      read.emplace_back(at.size.label, at.width.label);
    }
    std::sort(read.begin(), read.end());
    report_.cells_read = static_cast<std::size_t>(std::unique(read.begin(), read.end()) - read.begin());
    std::vector<Finding> rest = describe_batch(report_, table_, limits_, options_);
    report_.findings.insert(report_.findings.end(), rest.begin(), rest.end());
    return std::move(report_);
  }

 private:
  [[nodiscard]] const Reading& reading(std::size_t index) const { return report_.readings[index].reading; }
  [[nodiscard]] double size_steps(const SizeWidth& at) const {
    return (at.size - table_.base().at.size).count.value();
  }
  [[nodiscard]] double width_steps(const SizeWidth& at) const {
    return (at.width - table_.base().at.width).count.value();
  }

  // What the readings of one measure are rounded to: the coarsest.
  [[nodiscard]] double step_of(std::size_t measure) const {
    double step = 0.0;
    for (const JudgedReading& one : report_.readings) {
      if (one.reading.measure == measure) step = std::max(step, one.reading.step);
    }
    return step;
  }

  // Mean deviation of one measure of one last over its gauges, if it was read.
  [[nodiscard]] std::optional<double> mean_off(const std::vector<std::size_t>& indices,
                                               std::size_t measure) const {
    double sum = 0.0;
    int count = 0;
    for (const std::size_t index : indices) {
      if (reading(index).measure != measure) continue;
      sum += offs_[index];
      ++count;
    }
    return count ? std::optional(sum / count) : std::nullopt;
  }

  void fit_all() {
    report_.fits.assign(table_.size(), {});
    for (std::size_t m = 0; m < table_.size(); ++m) {
      std::vector<Deviation> deviations;
      for (const auto& [key, indices] : by_item_) {
        if (left_out_.contains(key)) continue;
        const SizeWidth& at = reading(indices.front()).stamped;
        if (const auto off = mean_off(indices, m))
          deviations.push_back({size_steps(at), width_steps(at), *off});
      }
      if (!deviations.empty())
        report_.fits[m] = fit_batch(deviations, options_.confidence, options_.tape_spread, step_of(m));
    }
  }

  // Deviation less the batch's steps by size and width, but with its offset: what a gauge adds stays in.
  [[nodiscard]] double without_steps(std::size_t index) const {
    const BatchFit& fit = report_.fits[reading(index).measure];
    const SizeWidth& at = reading(index).stamped;
    return offs_[index] - (fit.expected(size_steps(at), width_steps(at)) - fit.offset.value);
  }

  void take_out_gauges() {
    std::map<std::string, std::vector<std::size_t>> gauges;
    for (std::size_t i = 0; i < offs_.size(); ++i) gauges[reading(i).gauge].push_back(i);
    if (gauges.size() < 2) return;
    std::vector<GaugeOffset> found;
    for (const auto& [gauge, indices] : gauges) {
      std::vector<double> own;
      std::vector<double> others;
      for (std::size_t i = 0; i < offs_.size(); ++i) {
        (reading(i).gauge == gauge ? own : others).push_back(without_steps(i));
      }
      if (own.size() < kEnoughByGauge || others.size() < kEnoughByGauge) continue;
      const Summary mine = core_summary(own);
      const Summary theirs = core_summary(others);
      // Readings that coincide say no more than their own step does.
      const auto error_of = [&](const Summary& one, std::size_t first) {
        return std::max(one.spread, rounding_spread(reading(first).step)) /
               std::sqrt(static_cast<double>(one.count));
      };
      const double error = std::hypot(error_of(mine, indices.front()), error_of(theirs, indices.front()));
      const double freedom = static_cast<double>(std::min(mine.count, theirs.count)) - 1.0;
      const double apart = mine.mean - theirs.mean;
      const double p =
          two_sided_p(apart / std::max(error, 1e-9), freedom) * static_cast<double>(gauges.size());
      if (p < options_.false_alarm && std::abs(apart) > options_.worth_a_word * kNoLimitScale &&
          std::abs(mine.mean) > std::abs(theirs.mean)) {
        found.push_back({gauge, mine, apart});
      }
    }
    for (const GaugeOffset& gauge : found) {
      for (const std::size_t index : gauges[gauge.gauge]) offs_[index] -= gauge.apart;
      report_.gauges_apart[gauge.gauge] = gauge.apart;
      report_.findings.push_back({Finding::Kind::kGauge, describe_gauge(gauge, options_.confidence)});
    }
    if (!found.empty()) fit_all();
  }

  // Without what lies beyond 4 robust spreads of the middle.
  [[nodiscard]] Summary core_summary(const std::vector<double>& values) const {
    const double centre = median(values);
    const double spread = std::max(robust_spread(values), options_.tape_spread);
    std::vector<double> core;
    for (const double value : values) {
      if (std::abs(value - centre) <= 4.0 * spread) core.push_back(value);
    }
    return summarise(core, options_.confidence);
  }

  [[nodiscard]] double spread_for(std::size_t measure) const {
    const BatchFit& fit = report_.fits[measure];
    return fit.used >= 4 ? std::max(fit.spread, 0.5 * options_.tape_spread) : options_.tape_spread;
  }

  // What the whole batch has in common counts as the table: a wrong increment must not name every last
  // mis-stamped. A common offset as large as half a step does count against the lasts.
  [[nodiscard]] double common(std::size_t measure, const SizeWidth& at) const {
    const BatchFit& fit = report_.fits[measure];
    double sum = 0.0;
    const double most = half_limit(limits_.value[measure]);
    if (fit.used >= kLeastForCommon) {
      sum += std::clamp(fit.offset.value, -most, most);
      if (fit.by_size.known && fit.by_size.p < options_.false_alarm) {
        sum += fit.by_size.value * (size_steps(at) - fit.middle_size);
      }
      if (fit.by_width.known && fit.by_width.p < options_.false_alarm) {
        sum += fit.by_width.value * (width_steps(at) - fit.middle_width);
      }
    }
    return sum;
  }

  void match_items() {
    std::vector<std::vector<double>> expected(table_.size());
    for (std::size_t m = 0; m < table_.size(); ++m) {
      for (const SizeWidth& cell : cells_) expected[m].push_back(table_.value(m, cell) + common(m, cell));
    }
    for (const auto& [key, indices] : by_item_) {
      JudgedItem item;
      item.id = key.first;
      item.foot = key.second;
      item.stamped = reading(indices.front()).stamped;
      item.readings = indices.size();
      std::vector<MatchReading> match;
      for (const std::size_t index : indices) {
        const JudgedReading& judged = report_.readings[index];
        if (judged.verdict == Verdict::kBelow || judged.verdict == Verdict::kAbove) ++item.beyond;
        if (std::abs(judged.deviation) > std::abs(item.worst)) item.worst = judged.deviation;
        const std::size_t m = judged.reading.measure;
        MatchReading one;
        one.value = judged.wanted + offs_[index];
        one.spread = spread_for(m);
        one.expected = expected[m];
        match.push_back(std::move(one));
      }
      item.match = match_item(match, cell_index(item.stamped), options_.match);
      item.best = cells_[item.match.best];
      if (item.match.match != Match::kAsStamped) left_out_[key] = true;
      report_.items.push_back(std::move(item));
    }
  }

  [[nodiscard]] std::size_t cell_index(const SizeWidth& at) const {
    for (std::size_t i = 0; i < cells_.size(); ++i) {
      if (cells_[i].size.position == at.size.position && cells_[i].width.position == at.width.position)
        return i;
    }
    invariant(false, "a checked reading is stamped with a size and width of the run");
    return 0;
  }

  void judge_pairs() {
    for (const auto& [key, left] : by_item_) {
      if (key.second != Foot::kLeft) continue;
      const auto right = by_item_.find({key.first, Foot::kRight});
      if (right == by_item_.end()) continue;
      const SizeWidth& one = reading(left.front()).stamped;
      const SizeWidth& other = reading(right->second.front()).stamped;
      const bool same =
          one.size.position == other.size.position && one.width.position == other.width.position;
      for (std::size_t m = 0; m < table_.size(); ++m) {
        const auto left_off = mean_off(left, m);
        const auto right_off = mean_off(right->second, m);
        if (!left_off || !right_off) continue;
        const double apart = (*left_off + table_.value(m, one)) - (*right_off + table_.value(m, other));
        report_.pairs.push_back({key.first, m, apart, verdict_of(apart, limits_.pair[m]), same});
      }
    }
  }

  // One group: the lasts of `keep`, each counting once.
  template <class Keep>
  void add_group(Group group, std::size_t m, const Keep& keep) {
    std::vector<Deviation> inside;
    std::vector<Deviation> others;
    std::vector<double> offs;
    for (const auto& [key, indices] : by_item_) {
      const SizeWidth& at = reading(indices.front()).stamped;
      if (left_out_.contains(key)) continue;
      const auto off = mean_off(indices, m);
      if (!off) continue;
      const bool kept = keep(key, at);
      (kept ? inside : others).push_back({size_steps(at), width_steps(at), *off});
      if (kept) offs.push_back(*off);
    }
    if (offs.empty()) return;
    group.measure = m;
    group.summary = summarise(offs, options_.confidence, step_of(m));
    const bool one_size_or_width = !group.size.empty() || !group.width.empty();
    if (one_size_or_width && others.size() >= kLeastForCommon) {
      group.beyond = beyond_others(inside, others, options_.confidence, options_.tape_spread, step_of(m));
    }
    report_.groups.push_back(std::move(group));
  }

  void find_groups() {
    for (std::size_t m = 0; m < table_.size(); ++m) {
      add_group({}, m, [](const ItemKey&, const SizeWidth&) { return true; });
      for (const Size& size : run_.sizes) {
        Group group;
        group.size = size.label;
        add_group(group, m,
                  [&](const ItemKey&, const SizeWidth& at) { return at.size.position == size.position; });
      }
      for (const Width& width : run_.widths) {
        Group group;
        group.width = width.label;
        add_group(group, m,
                  [&](const ItemKey&, const SizeWidth& at) { return at.width.position == width.position; });
      }
      for (const Foot foot : {Foot::kLeft, Foot::kRight}) {
        Group group;
        group.hand = name_of(foot);
        add_group(group, m, [&](const ItemKey& key, const SizeWidth&) { return key.second == foot; });
      }
    }
    std::map<std::string, std::vector<double>> gauges;
    std::map<std::string, double> steps;
    for (std::size_t i = 0; i < offs_.size(); ++i) {
      if (left_out_.contains({reading(i).id, reading(i).foot})) continue;
      gauges[reading(i).gauge].push_back(report_.readings[i].deviation);
      steps[reading(i).gauge] = std::max(steps[reading(i).gauge], reading(i).step);
    }
    for (const auto& [gauge, values] : gauges) {
      Group group;
      group.gauge = gauge;
      group.summary = summarise(values, options_.confidence, steps[gauge]);
      if (!gauge.empty()) report_.groups.push_back(std::move(group));
    }
  }

  const MeasureTable& table_;
  const SizeRun& run_;
  const ReadingLimits& limits_;
  const BatchOptions& options_;
  std::vector<SizeWidth> cells_;
  BatchReport report_;
  std::vector<double> offs_;  // by reading: deviation from the table, gauges taken out
  std::map<ItemKey, std::vector<std::size_t>> by_item_;
  std::map<ItemKey, bool> left_out_;  // lasts that do not match their stamp
};

}  // namespace

Verdict verdict_of(double off, const std::optional<Limit>& limit) {
  // A thousandth of a micrometre: the limit itself is good, whatever the last bit of a conversion from
  // inches.
  constexpr double kRounding = 1e-6;
  if (!limit) return Verdict::kNoLimit;
  if (off < -limit->below - kRounding) return Verdict::kBelow;
  return off > limit->above + kRounding ? Verdict::kAbove : Verdict::kWithin;
}

const char* name_of(Verdict verdict) {
  switch (verdict) {
    case Verdict::kWithin:
      return "within";
    case Verdict::kBelow:
      return "below";
    case Verdict::kAbove:
      return "above";
    case Verdict::kNoLimit:
      return "no limit";
  }
  return "no limit";
}

bool BatchReport::all_good() const {
  const auto beyond = [](const auto& one) {
    return one.verdict == Verdict::kBelow || one.verdict == Verdict::kAbove;
  };
  return findings.empty() && std::none_of(readings.begin(), readings.end(), beyond) &&
         std::none_of(pairs.begin(), pairs.end(), beyond);
}

BatchReport judge_batch(const std::vector<Reading>& readings, const MeasureTable& table, const SizeRun& run,
                        const ReadingLimits& limits, const BatchOptions& options) {
  return Batch(readings, table, run, limits, options).report();
}

}  // namespace lastwright
