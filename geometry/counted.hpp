// A number and what it counts: "1 outline", "2 outlines". The one place for it, so that nothing says "1
// outlines".
#pragma once

#include <algorithm>
#include <concepts>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace lastwright {

// "outline" of one, "outlines" of any other number; `many` where an s does not do it, or more words follow.
template <std::integral Count>
std::string noun_of(Count count, std::string_view one, std::string_view many = {}) {
  if (count == Count{1}) return std::string(one);
  return many.empty() ? std::string(one) + "s" : std::string(many);
}

template <std::integral Count>
std::string counted(Count count, std::string_view one, std::string_view many = {}) {
  return std::to_string(count) + " " + noun_of(count, one, many);
}

// "a, b, c", or "a, b and 3 more" where there are more than `most`; "a; b; and 3 more" of things that hold
// commas themselves.
inline std::string some_of(const std::vector<std::string>& all, std::size_t most,
                           std::string_view between = ", ") {
  std::string text;
  for (std::size_t i = 0; i < std::min(most, all.size()); ++i)
    text.append(i == 0 ? std::string_view() : between).append(all[i]);
  if (all.size() <= most) return text;
  text.append(between == ", " ? std::string_view(" ") : between);
  return text + "and " + std::to_string(all.size() - most) + " more";
}

}  // namespace lastwright
