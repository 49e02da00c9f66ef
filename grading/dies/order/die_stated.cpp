#include "grading/dies/order/die_stated.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <tuple>

#include "geometry/counted.hpp"
#include "grading/dies/die_bevel.hpp"
#include "grading/dies/order/die_names.hpp"

namespace lastwright {

namespace {

constexpr const char* kHeightThere = "rule height of the die that is there";
constexpr const char* kQuantity = "quantity of each die";
constexpr const char* kMaking = "making tolerance, either way";
constexpr const char* kLayers = "layers under a stroke";
constexpr const char* kBridgesLie = "where bridges lie";

StatedFact missing(std::string what, const std::string& taken) {
  return {std::move(what), "not stated" + (taken.empty() ? "" : ", taken to be " + taken), false};
}

StatedFact said(std::string what, std::string words) {
  return {std::move(what), std::move(words), true};
}

StatedFact said_or_missing(std::string what, const std::string& words, const std::string& taken) {
  return words.empty() ? missing(std::move(what), taken) : said(std::move(what), words);
}

StatedFact height_said(double height, bool stated) {
  const std::string words = fmt::format("{:g} mm", height);
  return stated ? said("rule height", words) : missing("rule height", words + " by common practice");
}

// Of a die that is there: nobody states it now, its own order may have.
std::string height_there(const std::optional<double>& height, bool assumed) {
  if (!height) return "not known, so measure the die that is there";
  return assumed ? fmt::format(
                       "not stated, taken to be {:g} mm in its own order, so measure the die that is there",
                       *height)
                 : fmt::format("{:g} mm", *height);
}

StatedFact line_height(const DieOrderLine& line) {
  const std::string what = "rule height";
  if (line.there.empty()) return height_said(line.height_asked, line.height_stated);
  if (line.to_make > 0) {
    if (line.height_stated || !line.there.front().rule_height)
      return height_said(line.height_asked, line.height_stated);
    return missing(what,
                   fmt::format("{:g} mm like the die that is there for the other foot", *line.rule_height));
  }
  if (line.heights_differ)
    return {what, "not known to be alike in left and right (" + heights_there(line) + "), so measure both",
            false};
  return {what, height_there(line.rule_height, !line.height_stated), line.height_stated};
}

StatedFact quantity_said(const std::optional<int>& quantity) {
  return quantity ? said(kQuantity, fmt::format("{}", *quantity)) : missing(kQuantity, "1");
}

// What the rules state of dies to make, and their own orders of those that are there; nothing is taken for it
// by any practice.
template <class T>
struct Figure {
  const char* what;
  const char* unit;
  std::optional<T> DieOrderLine::*asked;
  std::optional<T> DieThere::*there;

  [[nodiscard]] std::string words(const std::optional<T>& value) const {
    return value ? fmt::format("{}{}", *value, unit) : std::string("not known");
  }
  [[nodiscard]] StatedFact of_all(const std::optional<T>& value) const {
    return value ? said(what, words(value)) : missing(what, "");
  }
  [[nodiscard]] bool alike(const DieOrderLine& line) const {
    return std::all_of(line.there.begin(), line.there.end(),
                       [&](const DieThere& one) { return one.*there == line.there.front().*there; });
  }
  [[nodiscard]] std::optional<T> of(const DieOrderLine& line) const {
    if (line.to_make > 0 || line.there.empty()) return line.*asked;
    return alike(line) ? line.there.front().*there : std::nullopt;
  }
  [[nodiscard]] StatedFact fact(const DieOrderLine& line) const {
    if (const std::optional<T> stated = of(line)) return said(what, words(stated));
    if (line.there.empty()) return missing(what, "");
    const std::optional<T>& first = line.there.front().*there;
    if (line.to_make > 0)
      return missing(what, first ? words(first) + " like the die that is there for the other foot" : "");
    if (alike(line)) return {what, "not known of the die that is there", false};
    std::string list;
    for (const DieThere& one : line.there)
      list += fmt::format("{}{}: {}", list.empty() ? "" : "; ", one.number, words(one.*there));
    return {what, "not known to be alike in left and right (" + list + ")", false};
  }
};
constexpr Figure<double> kMade{kMaking, " mm", &DieOrderLine::making_tolerance, &DieThere::making_tolerance};
constexpr Figure<int> kLaid{kLayers, "", &DieOrderLine::layers_per_stroke, &DieThere::layers_per_stroke};

StatedFact edges_said(const DieOrderLine& line) {
  if (!line.two_edged) return said("cutting edges", "one");
  return said("cutting edges", line.to_make > 0
                                   ? "two, as the die is turned over for the other foot"
                                   : "two, so see that the die that is there has them on both sides");
}

// A two-edged die has no back to weld them to, and no practice is common enough to be taken.
StatedFact bridges_said(const DieMaking& making, bool two_edged) {
  const std::string what = kBridgesLie;
  if (!two_edged) return said(what, "at the back of the die");
  if (!making.two_edged_bridges.empty()) return said(what, making.two_edged_bridges);
  return {what, "not stated, to be agreed with the die maker, as a two-edged die has no back", false};
}

// Turned over, what is outside stays outside.
StatedFact two_edged_bevel(StatedFact bevel) {
  bevel.words += ", the same at both edges";
  return bevel;
}

// ", taken to be 19 mm by common practice" of what is taken, ", not known, so measure it" of what nothing
// stands for: behind the dies it is said of.
std::string taken_words(const std::string& words) {
  const std::string head = "not stated";
  if (words.starts_with(head)) return words.substr(head.size());
  return ", " + words;
}

}  // namespace

std::vector<StatedFact> making_stated(const DieMaking& making) {
  return {height_said(making.rule_height, making.height_stated),
          making.rule_thickness ? said("rule thickness", fmt::format("{:g} mm", *making.rule_thickness))
                                : missing("rule thickness", "the die maker's usual"),
          making.bevel_stated ? said("bevel", making.bevel)
                              : missing("bevel", making.bevel + " by common practice"),
          said_or_missing("handle", making.handle, "none"),
          quantity_said(making.quantity),
          kMade.of_all(making.making_tolerance),
          kLaid.of_all(making.layers_per_stroke)};
}

std::optional<double> making_tolerance_of(const DieOrderLine& line) {
  return kMade.of(line);
}
std::optional<int> layers_of(const DieOrderLine& line) {
  return kLaid.of(line);
}

std::vector<StatedFact> die_stated(const DieOrder& order, const DieOrderLine& line) {
  std::vector<StatedFact> facts{said_or_missing("material", line.material, "")};
  std::vector<StatedFact> making = making_stated(order.making);
  making[0] = line_height(line);
  making[4] = quantity_said(line.quantity_stated ? std::optional(line.quantity) : std::nullopt);
  making[5] = kMade.fact(line);
  making[6] = kLaid.fact(line);
  if (line.to_make == 0) {
    for (const std::size_t k : {1, 3}) making[k] = said(making[k].what, "that of the die that is there");
    making[2] = bevel_there(line);
    making[4] = said(kQuantity, "none to make");
  } else if (line.two_edged) {
    making[2] = two_edged_bevel(std::move(making[2]));
  }
  facts.insert(facts.end(), making.begin(), making.end());
  facts.push_back(edges_said(line));
  if (line.to_make > 0 && line.bridges > 0) facts.push_back(bridges_said(order.making, line.two_edged));
  if (line.to_make > 0 && !line.there.empty()) {
    const DieThere& one = line.there.front();
    facts.push_back({kHeightThere, heights_there(line), one.rule_height.has_value() && !one.height_assumed});
  }
  return facts;
}

std::vector<StatedFact> head_stated(const DieOrderHead& head) {
  return {said_or_missing("order number", head.number, ""), said_or_missing("date", head.date, ""),
          said_or_missing("contact", head.contact, ""),
          said_or_missing("delivery wanted", head.delivery, "")};
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
    const StatedFact* fact = nullptr;
    DieNames pieces;
    std::size_t lines = 0;
  };
  std::vector<std::vector<StatedFact>> by_line;
  std::size_t most = 0;
  for (const DieOrderLine& line : order.lines) {
    by_line.push_back(die_stated(order, line));
    most = std::max(most, by_line.back().size());
  }
  std::vector<std::vector<Missing>> all(most);  // in the order of the facts, then as they come
  for (std::size_t k = 0; k < order.lines.size(); ++k) {
    for (std::size_t f = 0; f < by_line[k].size(); ++f) {
      const StatedFact& fact = by_line[k][f];
      if (fact.stated) continue;
      auto one = std::find_if(all[f].begin(), all[f].end(),
                              [&](const Missing& m) { return m.fact->words == fact.words; });
      if (one == all[f].end()) one = all[f].insert(one, {&fact, {}, 0});
      one->pieces.add(order.lines[k].piece);
      ++one->lines;
    }
  }
  std::vector<std::string> list;
  for (const std::vector<Missing>& alike : all) {
    for (const Missing& one : alike) {
      const std::string of = one.lines == order.lines.size() ? "all dies" : one.pieces.text(kDieLinesFile);
      list.push_back(fmt::format("{} (of {}{})", one.fact->what, of, taken_words(one.fact->words)));
    }
  }
  for (const StatedFact& fact : head_stated(order.head)) {
    if (!fact.stated) list.push_back(fact.what);
  }
  return list;
}

std::vector<std::string> height_notes(const DieOrder& order) {
  DieNames unknown;
  DieNames differ;
  DieNames assumed;
  std::map<std::tuple<std::string, double, double>, std::size_t> other;  // piece, height, asked: dies
  std::map<std::string, std::map<double, DieNames>> by_material;
  for (const DieOrderLine& line : order.lines) {
    if (line.rule_height) by_material[line.material][*line.rule_height].add(line.piece);
    if (line.heights_differ) differ.add(line.owned);
    for (const DieThere& one : line.there) {
      if (one.rule_height) by_material[line.material][*one.rule_height].add(line.piece);
      if (one.height_assumed) assumed.add(one.number);
      if (line.to_make > 0 && one.rule_height != line.rule_height) differ.add(one.number);
      if (!one.rule_height && line.to_make == 0 && !line.heights_differ) unknown.add(one.number);
    }
    if (line.there.empty() || line.heights_differ) continue;
    const std::optional<double>& there = line.there.front().rule_height;
    if (there && *there != line.height_asked) ++other[{line.piece, *there, line.height_asked}];
  }
  std::vector<std::string> notes;
  if (!unknown.list.empty())
    notes.push_back(
        "the rule height of these dies that are there already is not known: measure them before they go "
        "under one stroke with others (" +
        unknown.text(kDiesThereFile) + ")");
  if (!differ.list.empty())
    notes.push_back(
        "left and right differ in rule height, or that of the one that is there is not known: measure before "
        "both go under one stroke (" +
        differ.text(kDiesThereFile) + ")");
  if (!assumed.list.empty())
    notes.push_back(
        "the rule height of these dies that are there already was not stated in their own order, but taken: "
        "measure them before they go under one stroke with others (" +
        assumed.text(kDiesThereFile) + ")");
  if (!other.empty()) {
    DieNames list;
    for (const auto& [what, dies] : other) {
      const auto& [piece, height, asked] = what;
      list.add(
          fmt::format("{}: {} of {:g} mm, the order {:g} mm", piece, counted(dies, "die"), height, asked));
    }
    notes.push_back(
        "dies that are there already have another rule height than this order and need a stroke of their own "
        "(" +
        list.text(kDiesThereFile, "; ") + ")");
  }
  for (const auto& [material, heights] : by_material) {
    if (heights.size() < 2) continue;
    DieNames list;
    for (const auto& [height, pieces] : heights)
      list.add(fmt::format("{:g} mm: {}", height, pieces.text(kDieLinesFile)));
    notes.push_back("dies for one material (" + (material.empty() ? "not stated" : material) +
                    ") differ in rule height and need a stroke each (" + list.text(kDieLinesFile, "; ") +
                    ")");
  }
  return notes;
}

std::vector<std::string> figure_notes(const DieOrder& order) {
  DieNames coarser;
  DieNames weaker;
  for (const DieOrderLine& line : order.lines) {
    for (const DieThere& one : line.there) {
      const auto name = [&](const std::string& there, const std::string& asked) {
        return fmt::format("{} ({}): {}, the order {}", one.number, line.piece, there, asked);
      };
      const auto& made = one.making_tolerance;
      if (line.making_tolerance && (!made || *made > *line.making_tolerance))
        coarser.add(name(kMade.words(made), kMade.words(line.making_tolerance)));
      const auto& laid = one.layers_per_stroke;
      if (line.layers_per_stroke && (!laid || *laid < *line.layers_per_stroke))
        weaker.add(name(kLaid.words(laid), kLaid.words(line.layers_per_stroke)));
    }
  }
  std::vector<std::string> notes;
  if (!coarser.list.empty())
    notes.push_back(
        "dies that are there already are not known to be made as exactly as this order asks: measure them (" +
        coarser.text(kDiesThereFile) + ")");
  if (!weaker.list.empty())
    notes.push_back(
        "dies that are there already are not known to be made for as many layers under a stroke as this "
        "order "
        "states: ask their maker before so many lie under them (" +
        weaker.text(kDiesThereFile) + ")");
  return notes;
}

std::string heights_there(const DieOrderLine& line) {
  if (line.there.empty()) return "none is there";
  std::string listed;
  bool alike = true;
  const std::string first = height_there(line.there.front().rule_height, line.there.front().height_assumed);
  for (const DieThere& one : line.there) {
    const std::string own = height_there(one.rule_height, one.height_assumed);
    alike = alike && own == first;
    listed += (listed.empty() ? "" : "; ") + one.number + ": " + own;
  }
  return alike ? first : listed;
}

std::string stamps_there(const DieOrderLine& line) {
  std::string words;
  for (const DieThere& one : line.there) {
    const std::string own = one.bears.empty() ? "not known: see that it bears " + one.stamp
                            : one.keeps       ? "bears " + one.bears + ": keeps its stamp"
                            : one.restamp()   ? "bears " + one.bears + ": restamp as " + one.stamp
                                              : "bears " + one.bears;
    words += (words.empty() ? "" : "; ") + own;
    if (one.others_unknown) words += ", and leave what it bears of sizes and widths outside this order";
  }
  return words.empty() ? "none is there" : words;
}

}  // namespace lastwright
