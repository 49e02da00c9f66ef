#include "cli/listing/listed_names.hpp"

#include <algorithm>

namespace lastwright {

std::vector<std::string> listed_names(const std::vector<std::string>& words,
                                      const std::vector<std::string>& known) {
  const auto is_known = [&](const std::string& name) {
    return std::find(known.begin(), known.end(), name) != known.end();
  };
  std::vector<std::string> names;
  for (const std::string& word : words) {
    std::vector<std::string> parts;
    for (std::size_t from = 0; from <= word.size();) {
      const std::size_t end = std::min(word.find(',', from), word.size());
      parts.push_back(word.substr(from, end - from));
      from = end + 1;
    }
    if (is_known(word) || !std::all_of(parts.begin(), parts.end(), is_known)) parts = {word};
    names.insert(names.end(), parts.begin(), parts.end());
  }
  return names;
}

}  // namespace lastwright
