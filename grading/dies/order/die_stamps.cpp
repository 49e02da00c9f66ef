#include "grading/dies/order/die_stamps.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <map>
#include <optional>
#include <set>

namespace lastwright {

namespace {

// The labels of the style's run in its order, and those of no run behind them, no neighbours of anything.
class Labels {
 public:
  template <class Step>
  explicit Labels(const std::vector<Step>& run) {
    for (const Step& one : run) list_.push_back(one.label);
  }
  std::size_t index(const std::string& label) {
    auto found = std::find(list_.begin(), list_.end(), label);
    if (found == list_.end())
      found = std::find_if(list_.begin(), list_.end(),
                           [&](const std::string& one) { return !one.empty() && same_label(one, label); });
    if (found != list_.end()) return static_cast<std::size_t>(found - list_.begin());
    list_.insert(list_.end(), {"", label});
    return list_.size() - 1;
  }
  [[nodiscard]] const std::string& at(std::size_t index) const { return list_[index]; }

 private:
  std::vector<std::string> list_;
};

std::string listed(const std::set<std::size_t>& indices, const Labels& labels) {
  const std::vector<std::size_t> sizes(indices.begin(), indices.end());
  std::string text;
  for (std::size_t i = 0; i < sizes.size();) {
    std::size_t end = i;
    while (end + 1 < sizes.size() && sizes[end + 1] == sizes[end] + 1) ++end;
    if (!text.empty()) text += ", ";
    text += labels.at(sizes[i]);
    if (end > i) text += (end - i >= 2 ? " to " : ", ") + labels.at(sizes[end]);
    i = end + 1;
  }
  return text;
}

}  // namespace

std::string sizes_text(const SizesWidths& list, const DiePlaces& places) {
  Labels sizes(places.whole_sizes());
  Labels widths(places.whole_widths());
  std::map<std::size_t, std::set<std::size_t>> by_width;
  for (const auto& [size, width] : list) by_width[widths.index(width)].insert(sizes.index(size));
  std::string text;
  while (!by_width.empty()) {
    const std::set<std::size_t> same = by_width.begin()->second;
    std::string heads;
    for (auto it = by_width.begin(); it != by_width.end();) {
      if (it->second != same) {
        ++it;
        continue;
      }
      heads += (heads.empty() ? "" : " ") + widths.at(it->first);
      it = by_width.erase(it);
    }
    text += (text.empty() ? "" : "; ") + heads + ": " + listed(same, sizes);
  }
  return text;
}

std::string stamped_text(const SizesWidths& list, const DiePlaces& places) {
  return list.size() == 1 ? list.front().first + " " + list.front().second : sizes_text(list, places);
}

SizesWidths borne_now(const SizesWidths& before, const SizesWidths& serves, const DiePlaces& places) {
  SizesWidths now = serves;
  const auto ordered = [&](const auto& at, const auto& same) {
    return std::any_of(places.demands.begin(), places.demands.end(), [&](const SizeWidth& one) {
      return same(one.size.label, at.first) && same(one.width.label, at.second);
    });
  };
  for (const auto& at : before) {
    if (at.first.empty() || at.second.empty()) continue;
    if (!ordered(at, std::equal_to<>()) && !ordered(at, same_label)) now.push_back(at);
  }
  return now;
}

std::string stamp_words(const std::string& style, const std::string& piece, const std::string& sizes,
                        const std::string& hand, const std::string& number) {
  return fmt::format("{} / {} / {}{}{} / {}", style, piece, sizes, hand.empty() ? "" : " / ", hand, number);
}

std::vector<std::uint32_t> borne_demands(const SizesWidths& borne, const DiePlaces& places) {
  std::set<std::uint32_t> demands;
  for (const auto& at : borne) {
    const auto find = [&](const auto& same) {
      for (std::uint32_t d = 0; d < places.demands.size(); ++d) {
        const SizeWidth& one = places.demands[d];
        if (same(one.size.label, at.first) && same(one.width.label, at.second))
          return std::optional<std::uint32_t>(d);
      }
      return std::optional<std::uint32_t>();
    };
    std::optional<std::uint32_t> demand = find(std::equal_to<>());
    if (!demand && !at.first.empty() && !at.second.empty()) demand = find(same_label);
    if (demand) demands.insert(*demand);
  }
  return {demands.begin(), demands.end()};
}

bool of_a_part(const DiePlaces& places) {
  std::set<Fraction> sizes;
  std::set<Fraction> widths;
  for (const SizeWidth& at : places.demands) {
    sizes.insert(at.size.position);
    widths.insert(at.width.position);
  }
  return sizes.size() < places.whole_sizes().size() || widths.size() < places.whole_widths().size();
}

}  // namespace lastwright
