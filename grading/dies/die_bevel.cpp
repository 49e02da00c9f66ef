#include "grading/dies/die_bevel.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <tuple>

#include "geometry/counted.hpp"
#include "grading/dies/order/die_names.hpp"

namespace lastwright {

namespace {

constexpr const char* kBevel = "bevel";

std::string own_bevel(const DieThere& one) {
  if (one.bevel.empty()) return "not known, so look at the die that is there";
  return one.bevel_assumed
             ? "not stated, taken to be " + one.bevel + " in its own order, so look at the die that is there"
             : one.bevel;
}

bool alike_in_bevel(const DieOrderLine& line) {
  return std::all_of(line.there.begin(), line.there.end(),
                     [&](const DieThere& one) { return one.bevel == line.there.front().bevel; });
}

void name_once(std::vector<std::string>& names, const std::string& name) {
  if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
}

}  // namespace

StatedFact bevel_there(const DieOrderLine& line) {
  if (line.there.empty()) return {kBevel, "not known", false};
  if (!alike_in_bevel(line)) {
    std::string list;
    for (const DieThere& one : line.there)
      list += (list.empty() ? "" : "; ") + one.number + ": " + own_bevel(one);
    return {kBevel, "not known to be alike in left and right (" + list + "), so look at both", false};
  }
  const bool assumed = std::any_of(line.there.begin(), line.there.end(),
                                   [](const DieThere& one) { return one.bevel_assumed; });
  DieThere one = line.there.front();
  one.bevel_assumed = assumed;
  return {kBevel, own_bevel(one), !one.bevel.empty() && !assumed};
}

std::vector<std::string> bevel_notes(const DieOrder& order) {
  std::vector<std::string> unknown;
  std::vector<std::string> differ;
  std::vector<std::string> assumed;
  std::map<std::tuple<std::string, std::string>, std::size_t> other;  // piece, bevel: dies
  for (const DieOrderLine& line : order.lines) {
    const bool alike = alike_in_bevel(line);
    for (const DieThere& one : line.there) {
      if (!alike || (line.to_make > 0 && one.bevel != order.making.bevel))
        name_once(differ, one.number);
      else if (one.bevel.empty())
        name_once(unknown, one.number);
      if (one.bevel_assumed) name_once(assumed, one.number);
      if (!one.bevel.empty() && one.bevel != order.making.bevel) ++other[{line.piece, one.bevel}];
    }
  }
  std::vector<std::string> notes;
  const auto add = [&](const char* what, const std::vector<std::string>& names) {
    if (!names.empty()) notes.push_back(what + (" (" + named_of(names, kDiesThereFile) + ")"));
  };
  add("on which side the bevel of these dies that are there already lies is not known: look at them before "
      "they are used beside others",
      unknown);
  add("left and right differ in bevel, or that of one that is there is not known: look at both before they "
      "are used as a pair",
      differ);
  add("the bevel of these dies that are there already was not stated in their own order, but taken: look at "
      "them before they are used beside others",
      assumed);
  if (!other.empty()) {
    std::string list;
    for (const auto& [what, dies] : other) {
      const auto& [piece, bevel] = what;
      list += fmt::format("{}{}: {} {}", list.empty() ? "" : "; ", piece, counted(dies, "die"), bevel);
    }
    notes.push_back(fmt::format(
        "dies that are there already have their bevel on another side than this order, which has "
        "it {}{}: what they cut may come out otherwise than by a die of this order, so hold a piece "
        "of each against its outline ({})",
        order.making.bevel, order.making.bevel_stated ? "" : " by common practice", list));
  }
  return notes;
}

}  // namespace lastwright
