// "Did you mean": the known name nearest to a misspelt one.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace lastwright {

// Letters to insert, delete, replace or swap with a neighbour to make one text from the other, byte by byte.
std::size_t edit_distance(std::string_view a, std::string_view b);

// The candidate nearest to `name`, if it is near enough to be meant: at most a third of its letters apart
// (always at least one) and less than half of the longer one's, or the same but for case, spaces, hyphens and
// underscores. The first of equals.
std::optional<std::string> nearest_name(std::string_view name, const std::vector<std::string>& candidates);

// " (did you mean \"vamp\"?)", or " (known: \"a\", \"b\")" while the list is short, or "".
std::string suggestion(std::string_view name, const std::vector<std::string>& candidates);

}  // namespace lastwright
