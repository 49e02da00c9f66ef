#include "grading/pieces/drawing/drawing_account.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>
#include <tuple>

#include "geometry/counted.hpp"
#include "geometry/io/drawn_place.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostPlaces = 3;  // of one line
constexpr std::size_t kMostLines = 60;  // a drawing may hold a block for each of its lines

std::string place_text(const LeftOutThing& thing, double unit_in_mm) {
  std::string text;
  if (thing.at) text = "at " + drawn_place(unit_in_mm, *thing.at, 1);
  if (thing.from.line > 0) text += fmt::format("{}line {}", text.empty() ? "" : ", ", thing.from.line);
  return text;
}

using Kinds = std::vector<std::pair<std::string, std::size_t>>;

std::string kinds_in_words(const Kinds& kinds) {
  std::string text;
  for (const auto& [kind, count] : kinds) text += (text.empty() ? "" : ", ") + kind;
  return text;
}

std::string counts_of(const Kinds& kinds) {
  std::string text;
  for (const auto& [kind, count] : kinds)
    text += fmt::format("{}{} {}", text.empty() ? "" : ", ", count, kind);
  return text;
}

}  // namespace

void count_kind(Kinds& kinds, const std::string& kind, std::size_t count) {
  auto found = std::find_if(kinds.begin(), kinds.end(), [&](const auto& one) { return one.first == kind; });
  if (found == kinds.end()) found = kinds.insert(found, {kind, 0});
  found->second += count;
}

Kinds kinds_of(const LeftOutThing& thing) {
  return thing.kinds.empty() ? Kinds{{thing.from.entity, thing.entities}} : thing.kinds;
}

std::size_t DrawingAccount::used_in_all() const {
  return std::accumulate(used.begin(), used.end(), std::size_t{0},
                         [](std::size_t sum, const auto& piece) { return sum + piece.second; });
}

std::size_t DrawingAccount::left_out_in_all() const {
  return std::accumulate(left_out.begin(), left_out.end(), std::size_t{0},
                         [](std::size_t sum, const LeftOutThing& thing) { return sum + thing.entities; });
}

bool DrawingAccount::adds_up() const {
  return read == used_in_all() + left_out_in_all() + in_error;
}

std::string account_sum(const DrawingAccount& account) {
  const auto points = account.used.find("");
  const std::size_t by_points = points == account.used.end() ? 0 : points->second;
  const std::size_t pieces = account.used.size() - (by_points > 0 ? 1 : 0);
  std::string text =
      fmt::format("{}: {} read: {} used by {}", account.file, counted(account.read, "entity", "entities"),
                  account.used_in_all() - by_points, counted(pieces, "piece"));
  if (by_points > 0) text += fmt::format(", {} by points of the formes", by_points);
  text += fmt::format(", {} left out", account.left_out_in_all());
  std::size_t asked = 0;
  for (const LeftOutThing& thing : account.left_out) asked += thing.asked ? thing.entities : 0;
  if (asked > 0) text += fmt::format(" ({} as asked)", asked);
  if (account.in_error > 0) text += fmt::format(", {} in error", account.in_error);
  return text;
}

std::vector<std::string> left_out_lines(const DrawingAccount& account) {
  return left_out_lines(account, [](const LeftOutThing&) { return true; });
}

std::vector<std::string> left_out_lines(const DrawingAccount& account,
                                        const std::function<bool(const LeftOutThing&)>& such) {
  struct Group {
    std::string head;
    Kinds kinds;
    std::size_t count = 0;
    std::size_t things = 0;
    std::string places;
    std::string reason;
  };
  std::vector<Group> groups;  // in the order of their first thing
  std::map<std::tuple<std::string, std::string, std::string, std::string, std::string>, std::size_t> index;
  for (const LeftOutThing& thing : account.left_out) {
    if (thing.asked || !such(thing)) continue;
    const DrawnFrom& from = thing.from;
    const Kinds kinds = kinds_of(thing);
    const auto [found, is_new] = index.try_emplace(
        {kinds_in_words(kinds), from.layer, from.block, thing.piece, thing.reason}, groups.size());
    if (is_new) {
      std::string head;
      if (!from.layer.empty()) head += fmt::format(" on the layer {}", from.layer);
      if (!from.block.empty()) head += fmt::format(", block {}", from.block);
      if (!thing.piece.empty()) head += fmt::format(", piece {}", thing.piece);
      groups.push_back({std::move(head), {}, 0, 0, "", thing.reason});
    }
    Group& group = groups[found->second];
    group.count += thing.entities;
    for (const auto& [kind, count] : kinds) count_kind(group.kinds, kind, count);
    if (const std::string place = place_text(thing, account.unit_in_mm);
        !place.empty() && group.things < kMostPlaces)
      group.places += (group.places.empty() ? ": " : "; ") + place;
    ++group.things;
  }
  std::vector<std::string> lines;
  for (const Group& group : groups) {
    if (lines.size() == kMostLines) break;
    std::string line = fmt::format("{}: left out: {}{}: {}{}", account.file, counts_of(group.kinds),
                                   group.head, group.reason, group.places);
    if (group.things > kMostPlaces) line += fmt::format("; and {} more", group.things - kMostPlaces);
    lines.push_back(std::move(line));
  }
  if (groups.size() > kMostLines) {
    const auto rest = groups.begin() + kMostLines;
    const std::size_t more =
        std::accumulate(rest, groups.end(), std::size_t{0},
                        [](std::size_t sum, const Group& group) { return sum + group.count; });
    lines.push_back(fmt::format("{}: left out: {} more, of {} other kinds, layers, blocks, pieces or reasons",
                                account.file, more, groups.size() - kMostLines));
  }
  return lines;
}

}  // namespace lastwright
