#include "grading/sizes/suggest.hpp"

#include <algorithm>

namespace lastwright {

namespace {

constexpr std::size_t kLongestName = 80;  // longer ones are not compared: the distance costs their product
constexpr std::size_t kShortList = 8;

// The name without what people vary freely.
std::string bare(std::string_view name) {
  std::string out;
  for (const char c : name) {
    if (c == ' ' || c == '-' || c == '_') continue;
    out += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  }
  return out;
}

std::string quoted_name(std::string_view name) {
  std::string out = "\"";
  out += name;
  return out + "\"";
}

}  // namespace

std::size_t edit_distance(std::string_view a, std::string_view b) {
  // Three rows of the usual table: two back is needed for swaps.
  std::vector<std::size_t> before(b.size() + 1);
  std::vector<std::size_t> last(b.size() + 1);
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) row[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::swap(before, last);
    std::swap(last, row);
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t replaced = last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      row[j] = std::min({last[j] + 1, row[j - 1] + 1, replaced});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
        row[j] = std::min(row[j], before[j - 2] + 1);
      }
    }
  }
  return row[b.size()];
}

std::optional<std::string> nearest_name(std::string_view name, const std::vector<std::string>& candidates) {
  if (name.size() > kLongestName) return std::nullopt;
  const std::string wanted = bare(name);
  const std::string* best = nullptr;
  std::size_t best_distance = std::max<std::size_t>(1, name.size() / 3) + 1;
  for (const std::string& candidate : candidates) {
    if (candidate.size() > kLongestName) continue;
    const std::size_t distance = bare(candidate) == wanted ? 0 : edit_distance(name, candidate);
    // Of a name of a letter or two half or more would be another.
    if (distance > 0 && 2 * distance >= std::max(name.size(), candidate.size())) continue;
    if (distance < best_distance) {
      best = &candidate;
      best_distance = distance;
    }
  }
  return best != nullptr ? std::optional(*best) : std::nullopt;
}

std::string suggestion(std::string_view name, const std::vector<std::string>& candidates) {
  if (const auto near = nearest_name(name, candidates)) return " (did you mean " + quoted_name(*near) + "?)";
  if (candidates.empty() || candidates.size() > kShortList) return "";
  std::string list;
  for (const std::string& candidate : candidates) {
    if (candidate.size() > kLongestName) return "";
    list += (list.empty() ? "" : ", ") + quoted_name(candidate);
  }
  return " (known: " + list + ")";
}

}  // namespace lastwright
