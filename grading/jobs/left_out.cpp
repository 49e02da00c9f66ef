#include "grading/jobs/left_out.hpp"

#include <fmt/format.h>

#include "geometry/counted.hpp"

namespace lastwright {

std::vector<std::string> left_out_of(const LoadedStyle& style) {
  std::vector<std::string> all;
  for (const DrawingAccount& account : style.accounts) {
    const std::vector<std::string> lines = left_out_lines(account);
    all.insert(all.end(), lines.begin(), lines.end());
  }
  return all;
}

std::string left_out_in_short(const DrawingAccount& account) {
  constexpr std::size_t kMostKinds = 6;
  std::vector<std::pair<std::string, std::size_t>> kinds;  // in the order of their first thing
  std::size_t all = 0;
  for (const LeftOutThing& thing : account.left_out) {
    if (thing.asked) continue;
    const DrawnFrom& from = thing.from;
    const std::string layer = from.layer.empty() ? "" : fmt::format(" on the layer {}", from.layer);
    for (const auto& [kind, count] : kinds_of(thing)) count_kind(kinds, kind + layer, count);
    all += thing.entities;
  }
  if (kinds.empty()) return "";
  std::vector<std::string> words;
  for (const auto& [kind, count] : kinds) words.push_back(fmt::format("{} {}", count, kind));
  return fmt::format("{}: left out: {}: {}; lastwright check of the style says where and why", account.file,
                     counted(all, "entity", "entities"), some_of(words, kMostKinds));
}

std::vector<std::string> left_out_in_short_of(const LoadedStyle& style) {
  std::vector<std::string> all;
  for (const DrawingAccount& account : style.accounts) {
    if (std::string line = left_out_in_short(account); !line.empty()) all.push_back(std::move(line));
  }
  return all;
}

}  // namespace lastwright
