#include "grading/readings/disposition.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <set>

#include "geometry/counted.hpp"
#include "grading/readings/wording.hpp"

namespace lastwright {
namespace {

using Kind = Cause::Kind;

constexpr std::size_t kMostNamed = 24;  // lasts in the line; the others are counted

struct Mean {
  double sum = 0.0;
  int count = 0;
};

class Disposing {
 public:
  Disposing(const BatchReport& report, const MeasureTable& table, const ReadingLimits& limits)
      : report_(report), table_(table), limits_(limits), accounted_(report.readings.size(), 0.0) {}

  std::string line(std::size_t bad_rows) {
    take_causes();
    take_items();
    take_readings();
    take_pairs();
    std::string text = wide_.empty() ? std::string() : held_in_bulk();
    std::size_t accepted = 0;
    for (const std::string& id : ids_) accepted += held_.count(id) == 0 && bulk_.count(id) == 0 ? 1 : 0;
    const bool none_in_bulk = !whole_ && bulk_.empty();  // a gauge beside which all was read by another
    if (wide_.empty() || none_in_bulk) text = fmt::format("accept {} of {}", accepted, all());
    if (!wide_.empty() && none_in_bulk) text += " by their other readings; not sound: " + causes_named();
    if (!held_.empty()) text += (whole_ ? "; besides, on their own account: " : "; hold ") + named();
    if (!wide_.empty() && !whole_ && !none_in_bulk)
      text +=
          fmt::format("; accept the other {}{}", accepted, wider_.empty() ? "" : " if it is not " + wider_);
    if (report_.explained.left_over) text += "; more is wrong than the findings say: nothing is final";
    if (ids_.empty()) text = "nothing was judged";
    if (bad_rows > 0)
      text += "; " + counted(bad_rows, "row was", "rows were") + " not judged: nothing is final";
    return text;
  }

  // After `line`.
  [[nodiscard]] std::map<std::string, std::string> held() const {
    std::map<std::string, std::string> all;
    for (const std::string& id : ids_) {
      if (whole_) all[id] = "with the whole batch";
    }
    for (const auto& [id, place] : bulk_) {
      if (!whole_) all[id] = "with " + place;
    }
    for (const auto& [id, reasons] : held_) {
      std::string why = all[id];
      for (const std::string& one : reasons) why += (why.empty() ? "" : ", ") + one;
      all[id] = why;
    }
    return all;
  }

 private:
  [[nodiscard]] const JudgedReading& judged(Eigen::Index row) const {
    return report_.readings[report_.layout.readings[static_cast<std::size_t>(row)].original];
  }

  // Of causes of more than single lasts is held what the cause makes bad, or one that these readings cannot
  // tell from it; of a gauge that deviates, what it alone read.
  void take_causes() {
    bool everywhere = false;
    for (const Explanation& one : report_.explained.causes) {
      if (one.cause.of_one_item()) continue;
      wide_.push_back(&one);
      for (const auto& [row, value] : one.cause.column)
        accounted_[report_.layout.readings[static_cast<std::size_t>(row)].original] += value * one.amount;
      hold_in_bulk(one.cause);
      for (const Cause& same : one.same) hold_in_bulk(same);
      everywhere =
          everywhere || !of_part(one.cause) || !std::all_of(one.same.begin(), one.same.end(), of_part);
    }
    std::set<std::string> ids;
    for (const JudgedItem& item : report_.items) ids.insert(item.id);
    whole_ = everywhere && bulk_.size() == ids.size();
    // What is nearly as likely may be wrong with lasts of the other sizes and widths.
    for (const Explanation* one : wide_) {
      for (const Cause& rival : one->rivals) {
        if (!within_bulk(rival) && wider_.empty()) wider_ = short_name(rival, report_.layout, table_);
      }
    }
  }

  void hold_in_bulk(const Cause& cause) {
    std::set<std::string> ids;
    if (cause.kind != Kind::kTape) ids = made_bad(cause, report_.layout);
    for (const auto& [row, value] : cause.column) {
      if (cause.kind == Kind::kTape && !read_otherwise(row)) ids.insert(judged(row).reading.id);
    }
    const std::string place = ids.size() == 1 ? *ids.begin() : place_of(cause);
    for (const std::string& id : ids) {
      const bool added = bulk_.emplace(id, place).second;
      if (added && std::find(places_.begin(), places_.end(), place) == places_.end())
        places_.push_back(place);
    }
  }

  static bool of_part(const Cause& cause) {
    return cause.kind == Kind::kSize || cause.kind == Kind::kWidth || cause.kind == Kind::kTape ||
           cause.of_one_item();
  }
  // With another gauge too: the same measure of the same last.
  [[nodiscard]] bool read_otherwise(Eigen::Index row) const {
    const BatchLayout& layout = report_.layout;
    const PlacedReading& one = layout.readings[static_cast<std::size_t>(row)];
    const Block& block = layout.blocks[one.block];
    const auto first = layout.readings.begin() + block.first;
    return std::any_of(first, first + block.count, [&](const PlacedReading& other) {
      return other.last == one.last && other.measure == one.measure && other.tape != one.tape;
    });
  }

  [[nodiscard]] bool within_bulk(const Cause& cause) const {
    const std::set<std::string> ids = made_bad(cause, report_.layout);
    return std::all_of(ids.begin(), ids.end(), [&](const std::string& id) { return bulk_.count(id) > 0; });
  }

  void hold(const std::string& id, std::string why) {
    std::vector<std::string>& reasons = held_[id];
    if (reasons.empty()) order_.push_back(id);
    if (std::find(reasons.begin(), reasons.end(), why) == reasons.end()) reasons.push_back(std::move(why));
  }

  void take_items() {
    for (const JudgedItem& item : report_.items) {
      if (ids_.empty() || ids_.back() != item.id) ids_.push_back(item.id);
      if (item.match == Match::kAsStamped) continue;
      restamped_.insert(item.id);
      hold(item.id, item.match == Match::kMisStamped && !item.fits.empty()
                        ? "stamped " + label_of(item.stamped) + ", fits " + label_of(item.fits.front())
                        : "stamped " + label_of(item.stamped) + ", which its readings doubt");
    }
  }

  void take_readings() {
    for (std::size_t i = 0; i < report_.readings.size(); ++i) {
      const JudgedReading& one = report_.readings[i];
      if (restamped_.count(one.reading.id) > 0) continue;
      const double left = one.deviation - accounted_[i];
      const std::optional<Limit>& limit = limits_.value[one.reading.measure];
      if (!beyond(verdict_of(left, limit, one.reading.step)) && (limit || !one.stands_out)) continue;
      hold(one.reading.id, fmt::format("{} {} {:.2f} mm {}", name_of(one.reading.foot),
                                       table_.measures()[one.reading.measure].name, std::abs(left),
                                       left > 0.0 ? "over" : "under"));
    }
  }

  // What the causes of more than single lasts account for of a pair's difference is not held against it.
  void take_pairs() {
    using Key = std::pair<std::string, std::size_t>;
    std::map<Key, std::array<Mean, 2>> accounted;
    for (std::size_t i = 0; i < report_.readings.size(); ++i) {
      const Reading& one = report_.readings[i].reading;
      Mean& mean = accounted[Key(one.id, one.measure)][one.foot == Foot::kLeft ? 0 : 1];
      mean.sum += accounted_[i];
      ++mean.count;
    }
    for (const JudgedPair& pair : report_.pairs) {
      const auto& [left, right] = accounted.at(Key(pair.id, pair.measure));
      const double own = pair.left_minus_right - (left.sum / left.count - right.sum / right.count);
      if (beyond(verdict_of(own, limits_.pair[pair.measure], pair.noted_to)) &&
          restamped_.count(pair.id) == 0)
        hold(pair.id, "left and right differ");
      if (!pair.one_stamp) hold(pair.id, "two stamps");
    }
  }

  [[nodiscard]] std::string causes_named() const {
    std::string causes;
    for (const Explanation* one : wide_) causes += (causes.empty() ? "" : "; ") + with_others(*one);
    return causes;
  }
  // "size 7", "sizes 7, 9, 10": those that the cause moves.
  template <class Labelled>
  [[nodiscard]] std::string several(const char* what, const std::vector<Labelled>& all, const Cause& cause,
                                    std::size_t PlacedReading::*place) const {
    std::set<std::size_t> moved;
    for (const auto& [row, value] : cause.column)
      moved.insert(report_.layout.readings[static_cast<std::size_t>(row)].*place);
    std::vector<std::string> labels;
    for (const std::size_t one : moved) labels.push_back(all[one].label);
    return noun_of(labels.size(), what) + " " + fmt::format("{}", fmt::join(labels, ", "));
  }
  // "size 9", "width F", "what the gauge T2 alone read", "sizes 7, 9, 10" of a step.
  [[nodiscard]] std::string place_of(const Cause& cause) const {
    const BatchLayout& layout = report_.layout;
    switch (cause.kind) {
      case Kind::kSize:
        return "size " + layout.sizes[cause.place].label;
      case Kind::kWidth:
        return "width " + layout.widths[cause.place].label;
      case Kind::kTape:
        return layout.tapes[cause.place].empty()
                   ? std::string("what was read without a gauge's name")
                   : "what the gauge \"" + layout.tapes[cause.place] + "\" alone read";
      case Kind::kHand:
        return cause.place == 0 ? "the lefts" : "the rights";
      case Kind::kStepBySize:
        return several("size", layout.sizes, cause, &PlacedReading::size);
      case Kind::kStepByWidth:
        return several("width", layout.widths, cause, &PlacedReading::width);
      default:
        return "the batch";
    }
  }
  [[nodiscard]] std::string held_in_bulk() const {
    if (whole_) return "hold the whole batch: " + causes_named();
    return fmt::format("hold {} ({} of {}): {}", fmt::join(places_, " and "), bulk_.size(), all(),
                       causes_named());
  }

  // The cause and those that fit as well: "the ball girth of size 7.5 or the ball girth of width E".
  [[nodiscard]] std::string with_others(const Explanation& one) const {
    std::string text = short_name(one.cause, report_.layout, table_);
    for (const std::vector<Cause>* others : {&one.same, &one.rivals}) {
      for (const Cause& other : *others) text += " or " + short_name(other, report_.layout, table_);
    }
    return text;
  }

  // "12 pairs", "7 lasts": an id that both hands were read of is a pair.
  [[nodiscard]] std::string all() const {
    const std::size_t pairs = report_.items.size() - ids_.size();
    const char* what = pairs == 0 ? "last" : pairs == ids_.size() ? "pair" : "pairs and single lasts";
    const bool plural = ids_.size() != 1 && (pairs == 0 || pairs == ids_.size());
    return fmt::format("{} {}{}", ids_.size(), what, plural ? "s" : "");
  }

  [[nodiscard]] std::string named() const {
    std::string text;
    for (std::size_t k = 0; k < std::min(order_.size(), kMostNamed); ++k) {
      text += (k == 0 ? "" : ", ") + order_[k] + " (";
      const std::vector<std::string>& reasons = held_.at(order_[k]);
      for (std::size_t r = 0; r < reasons.size(); ++r) text += (r == 0 ? "" : ", ") + reasons[r];
      text += ")";
    }
    if (order_.size() > kMostNamed)
      text += fmt::format(" and {} more, see below", order_.size() - kMostNamed);
    return text;
  }

  const BatchReport& report_;
  const MeasureTable& table_;
  const ReadingLimits& limits_;
  std::vector<double> accounted_;  // by reading: millimetres of it, by the causes of more than single lasts
  std::vector<const Explanation*> wide_;
  std::string wider_;   // what is nearly as likely as one of them and reaches beyond what is held
  bool whole_ = false;  // something of the batch itself is wrong, and all of it is held
  std::vector<std::string> places_;          // what of the batch is held, in words
  std::map<std::string, std::string> bulk_;  // held by causes of more than single lasts, and in which place
  std::vector<std::string> ids_;             // all, as the items come
  std::vector<std::string> order_;           // of those held by themselves
  std::map<std::string, std::vector<std::string>> held_;
  std::set<std::string> restamped_;
};

}  // namespace

std::set<std::string> made_bad(const Cause& cause, const BatchLayout& layout) {
  std::set<std::size_t> sizes;
  std::set<std::size_t> widths;
  std::set<std::size_t> lasts;
  for (const auto& [row, value] : cause.column) {
    const PlacedReading& reading = layout.readings[static_cast<std::size_t>(row)];
    sizes.insert(reading.size);
    widths.insert(reading.width);
    lasts.insert(reading.last);
  }
  const auto bad = [&](const PlacedReading& reading) {
    switch (cause.kind) {
      case Cause::Kind::kBatch:
        return true;
      case Cause::Kind::kHand:
        return (reading.foot == Foot::kLeft) == (cause.place == 0);
      case Cause::Kind::kStepBySize:
      case Cause::Kind::kSize:
        return sizes.contains(reading.size);
      case Cause::Kind::kStepByWidth:
      case Cause::Kind::kWidth:
        return widths.contains(reading.width);
      default:
        return lasts.contains(reading.last);
    }
  };
  std::set<std::string> ids;
  for (const PlacedReading& reading : layout.readings) {
    if (bad(reading)) ids.insert(layout.lasts[reading.last].first);
  }
  return ids;
}

std::string item_result(const JudgedItem& item, const Disposition& disposed) {
  if (item.match == Match::kMisStamped) return "mis-stamped";
  if (item.match == Match::kDoubtful) return "doubtful";
  if (item.beyond > 0) return "beyond limit";
  const auto held = disposed.held.find(item.id);
  return held == disposed.held.end() ? "good" : "held: " + held->second;
}

Disposition dispose(const BatchReport& report, const MeasureTable& table, const ReadingLimits& limits,
                    std::size_t bad_rows) {
  Disposing disposing(report, table, limits);
  Disposition result;
  result.line = disposing.line(bad_rows);
  result.held = disposing.held();
  return result;
}

std::string disposition(const BatchReport& report, const MeasureTable& table, const ReadingLimits& limits,
                        std::size_t bad_rows) {
  return dispose(report, table, limits, bad_rows).line;
}

}  // namespace lastwright
