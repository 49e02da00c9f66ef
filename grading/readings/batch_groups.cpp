#include "grading/readings/batch_groups.hpp"

#include <algorithm>
#include <functional>
#include <map>

#include "grading/readings/natural_order.hpp"

namespace lastwright {
namespace {

using ItemKey = std::pair<std::string, Foot>;

}  // namespace

std::vector<Group> batch_groups(const BatchReport& report, const MeasureTable& table, const SizeRun& run,
                                double confidence) {
  std::map<ItemKey, bool> left_out;
  for (const JudgedItem& item : report.items)
    left_out[{item.id, item.foot}] = item.match != Match::kAsStamped;
  std::vector<Group> groups;
  for (std::size_t m = 0; m < table.size(); ++m) {
    std::map<ItemKey, std::pair<const Reading*, std::vector<double>>> offs;
    double step = 0.0;
    for (const JudgedReading& one : report.readings) {
      const ItemKey key{one.reading.id, one.reading.foot};
      if (one.reading.measure != m) continue;
      step = std::max(step, one.reading.step);
      if (left_out[key]) continue;
      auto& [reading, values] = offs[key];
      reading = &one.reading;
      values.push_back(one.deviation);
    }
    const auto add = [&](Group group, const std::function<bool(const Reading&)>& keep) {
      std::vector<double> means;
      for (const auto& [key, values] : offs) {
        if (!keep(*values.first)) continue;
        double sum = 0.0;
        for (const double off : values.second) sum += off;
        means.push_back(sum / static_cast<double>(values.second.size()));
      }
      if (means.empty()) return;
      group.measure = m;
      group.summary = summarise(means, confidence, step);
      groups.push_back(std::move(group));
    };
    add({}, [](const Reading&) { return true; });
    for (const Size& size : run.sizes) {
      Group group;
      group.size = size.label;
      add(group, [&](const Reading& one) { return one.stamped.size.position == size.position; });
    }
    for (const Width& width : run.widths) {
      Group group;
      group.width = width.label;
      add(group, [&](const Reading& one) { return one.stamped.width.position == width.position; });
    }
    for (const Foot foot : {Foot::kLeft, Foot::kRight}) {
      Group group;
      group.hand = name_of(foot);
      add(group, [&](const Reading& one) { return one.foot == foot; });
    }
  }
  std::map<std::string, std::pair<double, std::vector<double>>, NaturalOrder> gauges;
  for (const JudgedReading& one : report.readings) {
    if (one.reading.gauge.empty() || left_out[{one.reading.id, one.reading.foot}]) continue;
    auto& [step, values] = gauges[one.reading.gauge];
    step = std::max(step, one.reading.step);
    values.push_back(one.deviation);
  }
  for (const auto& [gauge, values] : gauges) {
    Group group;
    group.gauge = gauge;
    group.summary = summarise(values.second, confidence, values.first);
    groups.push_back(std::move(group));
  }
  return groups;
}

}  // namespace lastwright
