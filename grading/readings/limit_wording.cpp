// Readings and pairs beyond their limits, in words.
#include <fmt/format.h>

#include <cmath>
#include <map>
#include <optional>

#include "geometry/counted.hpp"
#include "grading/readings/natural_order.hpp"
#include "grading/readings/slips.hpp"
#include "grading/readings/wording.hpp"

namespace lastwright {
namespace {

class LimitWords {
 public:
  LimitWords(const BatchReport& report, const MeasureTable& table, const ReadingLimits& limits)
      : report_(report), table_(table), limits_(limits) {}

  std::vector<BatchFinding> all() {
    readings();
    pairs();
    return std::move(findings_);
  }

 private:
  using ByItem = std::map<std::pair<std::string, Foot>, std::vector<const JudgedReading*>, NaturalOrder>;

  [[nodiscard]] const std::string& name(std::size_t m) const { return table_.measures()[m].name; }

  [[nodiscard]] std::string of_reading(const JudgedReading& one) const {
    const std::optional<Limit>& limit = limits_.value[one.reading.measure];
    std::string text = fmt::format("{} {:.2f} mm {} the table", name(one.reading.measure),
                                   std::abs(one.deviation), one.deviation > 0 ? "over" : "under");
    text += limit ? fmt::format(" (limit {:.2f})", one.deviation > 0 ? limit->above : limit->below)
                  : " (it has no limit)";
    if (!one.reading.gauge.empty()) text += " by " + one.reading.gauge;
    if (std::abs(one.explained) > 0.005) {
      text += fmt::format(", {:.2f} mm of it not explained", std::abs(one.deviation - one.explained));
    }
    if (one.stands_out) {
      text += "; nothing else that was read is like it";
      const double noise = report_.explained.fit.noise.reading;
      if (const auto slip = likely_slip(one.reading, one.wanted + one.explained, 3.0 * noise))
        text += ": " + *slip;
    }
    return text;
  }

  // One finding a last.
  void readings() {
    ByItem by_item;
    std::map<std::size_t, int> led;  // by measure: beyond, but where the causes lead
    for (const JudgedReading& one : report_.readings) {
      const bool without = one.stands_out && !limits_.value[one.reading.measure];
      if (!beyond(one.verdict) && !without) continue;
      if (!beyond(one.left) && !without) {
        ++led[one.reading.measure];
      } else {
        by_item[{one.reading.id, one.reading.foot}].push_back(&one);
      }
    }
    for (const auto& [item, all] : by_item) {
      std::string text;
      for (const JudgedReading* one : all) text += (text.empty() ? "" : ", ") + of_reading(*one);
      findings_.push_back({BatchFinding::Kind::kReading,
                           fmt::format("{} {}, stamped {}: {}", item.first, name_of(item.second),
                                       label_of(all.front()->reading.stamped), text),
                           "read again"});
    }
    for (const auto& [m, count] : led) {
      findings_.push_back({BatchFinding::Kind::kReading,
                           fmt::format("{} of the {} beyond the limit, as the findings above explain",
                                       counted(count, "reading"), name(m)),
                           "see above"});
    }
    unexplained(by_item);
  }

  // Much beyond its limit and nothing to blame: said, not left to be noticed.
  void unexplained(const ByItem& by_item) {
    std::size_t count = 0;
    for (const auto& [item, all] : by_item) count += all.size();
    if (count < 5 || 20 * count < report_.readings.size()) return;
    findings_.push_back(
        {BatchFinding::Kind::kLeft,
         fmt::format(
             "{} of {} readings are left beyond their limit with no cause that explains them: a reading "
             "scatters by {:.2f} mm about what it should be",
             count, report_.readings.size(), report_.explained.fit.noise.reading),
         "look at how the lasts were made and read, or whether the limits are those that were meant"});
  }

  void pairs() {
    int led = 0;
    for (std::size_t i = 0; i < report_.pairs.size(); ++i) {
      const JudgedPair& pair = report_.pairs[i];
      if (!pair.one_stamp && (i == 0 || report_.pairs[i - 1].id != pair.id)) {
        findings_.push_back({BatchFinding::Kind::kPair,
                             fmt::format("{}: left and right carry different stamps", pair.id), "set aside"});
      }
      if (!beyond(pair.verdict)) continue;
      if (!beyond(pair.left)) {
        ++led;
        continue;
      }
      findings_.push_back({BatchFinding::Kind::kPair,
                           fmt::format("{}: the {} of the left is {:.2f} mm {} the right's (limit {:.2f})",
                                       pair.id, name(pair.measure), std::abs(pair.left_minus_right),
                                       pair.left_minus_right > 0 ? "over" : "under",
                                       pair.left_minus_right > 0 ? limits_.pair[pair.measure]->above
                                                                 : limits_.pair[pair.measure]->below),
                           "read both again"});
    }
    if (led > 0) {
      findings_.push_back(
          {BatchFinding::Kind::kPair,
           fmt::format("left and right differ by more than the limit {}, as the findings above explain",
                       counted(led, "time")),
           "see above"});
    }
  }

  const BatchReport& report_;
  const MeasureTable& table_;
  const ReadingLimits& limits_;
  std::vector<BatchFinding> findings_;
};

}  // namespace

std::vector<BatchFinding> limit_findings(const BatchReport& report, const MeasureTable& table,
                                         const ReadingLimits& limits) {
  return LimitWords(report, table, limits).all();
}

}  // namespace lastwright
