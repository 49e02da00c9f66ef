// What stands between the commas of a word.
#pragma once

#include <algorithm>
#include <string>
#include <vector>

namespace lastwright {

// One more than there are commas; each as it is, also where it is empty.
inline std::vector<std::string> parts_at_commas(const std::string& word) {
  std::vector<std::string> parts;
  for (std::size_t from = 0; from <= word.size();) {
    const std::size_t end = std::min(word.find(',', from), word.size());
    parts.push_back(word.substr(from, end - from));
    from = end + 1;
  }
  return parts;
}

}  // namespace lastwright
