#include "cli/listing/listed_names.hpp"

#include <algorithm>

#include "geometry/comma_list.hpp"

namespace lastwright {

std::vector<std::string> listed_names(const std::vector<std::string>& words,
                                      const std::vector<std::string>& known) {
  const auto is_known = [&](const std::string& name) {
    return std::find(known.begin(), known.end(), name) != known.end();
  };
  std::vector<std::string> names;
  for (const std::string& word : words) {
    std::vector<std::string> parts = parts_at_commas(word);
    if (is_known(word) || !std::all_of(parts.begin(), parts.end(), is_known)) parts = {word};
    names.insert(names.end(), parts.begin(), parts.end());
  }
  return names;
}

}  // namespace lastwright
