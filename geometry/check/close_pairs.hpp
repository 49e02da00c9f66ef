// All pairs of boxes that overlap, by a sweep along the longer side of what they cover.
#pragma once

#include <algorithm>
#include <cstdint>
#include <span>
#include <vector>

#include "geometry/box2.hpp"

namespace lastwright {

// Calls visit(i, k), i < k, once for every pair of overlapping boxes, in no particular order.
template <class Visit>
void for_overlapping(std::span<const Box2> boxes, const Visit& visit) {
  struct Entry {
    double low;
    double high;
    double side_low;
    double side_high;
    std::uint32_t index;
  };
  Box2 all;
  for (const Box2& box : boxes) all.add(box);
  const bool along_x = all.width() >= all.height();
  std::vector<Entry> entries;
  entries.reserve(boxes.size());
  for (std::size_t i = 0; i < boxes.size(); ++i) {
    const Box2& b = boxes[i];
    const auto index = static_cast<std::uint32_t>(i);
    entries.push_back(along_x ? Entry{b.low.x, b.high.x, b.low.y, b.high.y, index}
                              : Entry{b.low.y, b.high.y, b.low.x, b.high.x, index});
  }
  std::sort(entries.begin(), entries.end(), [](const Entry& a, const Entry& b) {
    return a.low != b.low ? a.low < b.low : a.index < b.index;
  });
  for (std::size_t i = 0; i < entries.size(); ++i) {
    const Entry& one = entries[i];
    for (std::size_t k = i + 1; k < entries.size() && entries[k].low <= one.high; ++k) {
      const Entry& two = entries[k];
      if (two.side_low > one.side_high || one.side_low > two.side_high) continue;
      visit(std::min<std::size_t>(one.index, two.index), std::max<std::size_t>(one.index, two.index));
    }
  }
}

}  // namespace lastwright
