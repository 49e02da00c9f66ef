#include "grading/dies/die_stated.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <tuple>

#include "geometry/counted.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kShown = 10;  // dies or pieces by name

StatedFact missing(std::string what, const std::string& taken) {
  return {std::move(what), "not stated" + (taken.empty() ? "" : ": " + taken), false};
}

StatedFact said(std::string what, std::string words) {
  return {std::move(what), std::move(words), true};
}

StatedFact said_or_missing(std::string what, const std::string& words, const std::string& taken) {
  return words.empty() ? missing(std::move(what), taken) : said(std::move(what), words);
}

StatedFact height_said(std::optional<double> height, bool stated) {
  const std::string words = height ? fmt::format("{:g} mm", *height) : "";
  if (!height) return said("rule height", "not known: measure the die that is there");
  return stated ? said("rule height", words) : missing("rule height", words + ", common practice");
}

StatedFact edges_said(const DieOrderLine& line) {
  if (!line.two_edged) return said("cutting edges", "one");
  return said("cutting edges", line.to_make > 0
                                   ? "two: the die is turned over for the other foot"
                                   : "two: see that the die that is there has them on both sides");
}

struct DieNames {
  std::vector<std::string> list;
  void add(const std::string& name) {
    if (std::find(list.begin(), list.end(), name) == list.end()) list.push_back(name);
  }
  [[nodiscard]] std::string text() const {
    std::string words;
    for (std::size_t k = 0; k < list.size() && k < kShown; ++k)
      words += (words.empty() ? "" : ", ") + list[k];
    return list.size() <= kShown ? words : fmt::format("{} and {} more", words, list.size() - kShown);
  }
};

}  // namespace

std::vector<StatedFact> making_stated(const DieMaking& making) {
  return {height_said(making.rule_height, making.height_stated),
          making.rule_thickness ? said("rule thickness", fmt::format("{:g} mm", *making.rule_thickness))
                                : missing("rule thickness", "the die maker's usual"),
          making.bevel_stated ? said("bevel", making.bevel)
                              : missing("bevel", making.bevel + ", common practice"),
          said_or_missing("handle", making.handle, "none")};
}

std::vector<StatedFact> die_stated(const DieOrder& order, const DieOrderLine& line) {
  std::vector<StatedFact> facts{said_or_missing("material", line.material, "")};
  std::vector<StatedFact> making = making_stated(order.making);
  making[0] = line.heights_differ
                  ? said("rule height", "not known to be alike in left and right: measure both")
                  : height_said(line.rule_height, line.height_stated);
  if (line.to_make == 0) {
    for (std::size_t k = 1; k < making.size(); ++k)
      making[k] = said(making[k].what, "that of the die that is there");
  }
  facts.insert(facts.end(), making.begin(), making.end());
  facts.push_back(edges_said(line));
  return facts;
}

std::vector<StatedFact> head_stated(const DieOrderHead& head) {
  return {said_or_missing("order number", head.number, ""), said_or_missing("date", head.date, ""),
          said_or_missing("contact", head.contact, "")};
}

std::string in_words(const StatedFact& fact) {
  return fact.what + ": " + fact.words;
}

std::string in_words(const std::vector<StatedFact>& facts) {
  std::string text;
  for (const StatedFact& fact : facts) text += (text.empty() ? "" : "; ") + in_words(fact);
  return text;
}

std::vector<std::string> not_stated(const DieOrder& order) {
  struct Missing {
    std::string what;
    std::string taken;
    DieNames pieces;
    std::size_t lines = 0;
  };
  std::vector<Missing> all;  // in the order of the facts
  for (const DieOrderLine& line : order.lines) {
    const std::vector<StatedFact> facts = die_stated(order, line);
    all.resize(facts.size());
    for (std::size_t k = 0; k < facts.size(); ++k) {
      if (facts[k].stated) continue;
      const std::string head = "not stated: ";
      all[k].what = facts[k].what;
      all[k].taken = facts[k].words.size() > head.size() ? facts[k].words.substr(head.size()) : "";
      all[k].pieces.add(line.piece);
      ++all[k].lines;
    }
  }
  std::vector<std::string> list;
  for (const Missing& one : all) {
    if (one.lines == 0) continue;
    const std::string of = one.lines == order.lines.size() ? "all dies" : one.pieces.text();
    list.push_back(
        fmt::format("{} (of {}{})", one.what, of, one.taken.empty() ? "" : "; taken: " + one.taken));
  }
  for (const StatedFact& fact : head_stated(order.head)) {
    if (!fact.stated) list.push_back(fact.what);
  }
  return list;
}

std::vector<std::string> height_notes(const DieOrder& order) {
  DieNames unknown;
  DieNames differ;
  std::map<std::tuple<std::string, double, double>, std::size_t> other;  // piece, height, asked: dies
  std::map<std::string, std::map<double, DieNames>> by_material;
  for (const DieOrderLine& line : order.lines) {
    if (line.rule_height) by_material[line.material][*line.rule_height].add(line.piece);
    if (line.owned.empty()) continue;
    if (line.heights_differ) {
      differ.add(line.owned);
    } else if (!line.rule_height) {
      unknown.add(line.owned);
    } else if (*line.rule_height != line.height_asked) {
      ++other[{line.piece, *line.rule_height, line.height_asked}];
    }
  }
  std::vector<std::string> notes;
  if (!unknown.list.empty())
    notes.push_back(
        "the rule height of these dies that are there already is not known: measure them before they go "
        "under one stroke with others (" +
        unknown.text() + ")");
  if (!differ.list.empty())
    notes.push_back(
        "left and right differ in rule height, or that of the one that is there is not known: measure before "
        "both go under one stroke (" +
        differ.text() + ")");
  if (!other.empty()) {
    std::string list;
    for (const auto& [what, dies] : other) {
      const auto& [piece, height, asked] = what;
      list += fmt::format("{}{}: {} of {:g} mm, the order {:g} mm", list.empty() ? "" : "; ", piece,
                          counted(dies, "die"), height, asked);
    }
    notes.push_back(
        "dies that are there already have another rule height than this order and need a stroke of their own "
        "(" +
        list + ")");
  }
  for (const auto& [material, heights] : by_material) {
    if (heights.size() < 2) continue;
    std::string list;
    for (const auto& [height, pieces] : heights)
      list += fmt::format("{}{:g} mm: {}", list.empty() ? "" : "; ", height, pieces.text());
    notes.push_back("dies for one material (" + (material.empty() ? "not stated" : material) +
                    ") differ in rule height and need a stroke each (" + list + ")");
  }
  return notes;
}

}  // namespace lastwright
