#include "grading/dies/order/die_says.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <functional>
#include <map>
#include <optional>
#include <string_view>

#include "grading/dies/order/die_names.hpp"
#include "grading/dies/order/die_numbers.hpp"
#include "grading/dies/order/die_stamps.hpp"
#include "grading/sizes/trimmed.hpp"
#include "grading/style/foot_words.hpp"

namespace lastwright {

namespace {

constexpr std::string_view kParted = " / ";  // the parts of a stamp
constexpr const char* kAsDrawn = "as drawn";
constexpr const char* kMirroredSaid = "mirrored (M)";

// Calls `take` with each part; false as soon as it is.
bool each_part(std::string_view text, std::string_view between,
               const std::function<bool(std::string_view)>& take) {
  for (std::size_t at = 0;;) {
    const std::size_t next = text.find(between, at);
    if (!take(text.substr(at, next == std::string_view::npos ? next : next - at))) return false;
    if (next == std::string_view::npos) return true;
    at = next + between.size();
  }
}

// What stands behind the words, if the text begins with them.
std::optional<std::string_view> behind(std::string_view text, std::string_view words) {
  if (!text.starts_with(words)) return std::nullopt;
  return trimmed(text.substr(words.size()));
}

std::optional<double> number_before(std::string_view text, std::string_view unit) {
  double value = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  const std::string_view rest(end, static_cast<std::size_t>(text.data() + text.size() - end));
  if (error != std::errc() || !std::isfinite(value) || !rest.starts_with(unit)) return std::nullopt;
  return value;
}

// What the texts say of each fact, each thing once.
class TextsSaid {
 public:
  void add(const char* fact, std::string_view words) {
    std::vector<std::string>& all = facts_[fact];
    if (std::find(all.begin(), all.end(), words) == all.end()) all.emplace_back(words);
  }
  // None where nothing is said, or several things, which is a doubt.
  std::optional<std::string> one(const char* fact, std::vector<std::string>& doubts) const {
    const auto found = facts_.find(fact);
    if (found == facts_.end()) return std::nullopt;
    if (found->second.size() == 1) return found->second.front();
    doubts.push_back(fmt::format("{}: {}", fact, some_of(found->second, 5, " and ")));
    return std::nullopt;
  }

 private:
  std::map<std::string, std::vector<std::string>> facts_;
};

// "Walker / vamp / 8 F / L / D0009", the parts from behind: only a style's name may hold a stroke of its own.
struct StampParts {
  std::string style;
  std::string piece;
  std::string sizes;
  std::string hand;
  std::string number;
};
bool is_hand(std::string_view text) {
  return text == "L" || text == "R" || text == "M" || text == "L R";
}
std::optional<StampParts> stamp_parts(std::string_view text) {
  std::vector<std::string_view> parts;
  each_part(text, kParted, [&](std::string_view part) {
    parts.push_back(part);
    return true;
  });
  if (parts.size() < 4 || !number_in(parts.back())) return std::nullopt;
  StampParts stamp;
  stamp.number = parts.back();
  parts.pop_back();
  if (parts.size() > 3 && is_hand(parts.back())) {
    stamp.hand = parts.back();
    parts.pop_back();
  }
  stamp.sizes = parts.back();
  stamp.piece = parts[parts.size() - 2];
  for (std::size_t k = 0; k + 2 < parts.size(); ++k)
    stamp.style += (k == 0 ? std::string() : std::string(kParted)) + std::string(parts[k]);
  return stamp;
}

constexpr const char* kStamp = "stamp";
constexpr const char* kHand = "foot";
constexpr const char* kHeight = "rule height";
constexpr const char* kBevelSide = "bevel";
constexpr const char* kMadeWithin = "making tolerance";
constexpr const char* kLaidUnder = "layers under a stroke";
constexpr const char* kWeight = "weight of its rule";
constexpr const char* kRule = "rule outside";
constexpr const char* kMaterial = "material";
constexpr const char* kThick = "rule thickness";
constexpr const char* kHandleOf = "handle";

// The number and the foot of a text of its own, "D0009 L", and of a stamp.
void take_number(std::string_view text, std::vector<std::string>& shown, TextsSaid& said) {
  const auto show = [&](const std::string& number) {
    if (std::find(shown.begin(), shown.end(), number) == shown.end()) shown.push_back(number);
  };
  const std::string_view stamped = behind(text, "stamp: ").value_or(text);
  if (const std::optional<StampParts> stamp = stamp_parts(stamped)) {
    said.add(kStamp, stamped);
    if (!stamp->hand.empty()) said.add(kHand, stamp->hand);
    return show(stamp->number);
  }
  for (const std::string_view hand : {"L R", "L", "R", "M", ""}) {
    if (!hand.empty() && !text.ends_with(" " + std::string(hand))) continue;
    const std::string_view head = text.substr(0, text.size() - (hand.empty() ? 0 : hand.size() + 1));
    if (const std::optional<std::string> number = number_in(head)) {
      if (!hand.empty()) said.add(kHand, hand);
      show(*number);
    }
    return;
  }
}

void take_facts(std::string_view text, OwnedDie& die, TextsSaid& said) {
  if (const auto hand = behind(text, "this drawing: ")) {
    die.of_a_pair = true;
    said.add(kHand, *hand == kMirroredSaid ? "M" : *hand);
  }
  if (const auto edges = behind(text, "cutting edges: ")) die.two_edged |= edges->starts_with("two");
  for (const auto& [words, fact] :
       {std::pair{"rule height: ", kHeight}, std::pair{"bevel: ", kBevelSide},
        std::pair{"making tolerance, either way: ", kMadeWithin},
        std::pair{"layers under a stroke: ", kLaidUnder}, std::pair{"weight of one die's rule: ", kWeight},
        std::pair{"material: ", kMaterial}, std::pair{"rule thickness: ", kThick},
        std::pair{"handle: ", kHandleOf}, std::pair{"drawn in millimetres: rule outside ", kRule}}) {
    if (const auto what = behind(text, words)) said.add(fact, *what);
  }
}

// "not stated, taken to be 19 mm by common practice" says 19 mm, and that its own order took it.
std::string_view taken_apart(std::string_view words, bool& assumed) {
  constexpr std::string_view kTaken = "not stated, taken to be ";
  assumed = words.starts_with(kTaken);
  return assumed ? words.substr(kTaken.size()) : words;
}

void take_figures(const TextsSaid& said, OwnedDie& die) {
  std::vector<std::string>& doubts = die.says.doubts;
  const auto odd = [&](const char* fact, const std::string& words) {
    if (!words.starts_with("not ")) doubts.push_back(fmt::format("{}: {}", fact, words));
  };
  const auto figure = [&](const char* fact, const char* unit, double least, double most) {
    std::optional<double> value;
    const std::optional<std::string> words = said.one(fact, doubts);
    if (!words) return value;
    bool assumed = false;
    value = number_before(taken_apart(*words, assumed), unit);
    if (value && !(*value >= least && *value <= most)) value.reset();
    if (!value) odd(fact, *words);
    if (value && fact == kHeight) die.height_assumed = assumed;
    return value;
  };
  constexpr double kMost = 1000.0;  // mm and kg, as of an order's JSON
  die.rule_height = figure(kHeight, " mm", 1e-3, kMost);
  die.making_tolerance = figure(kMadeWithin, " mm", kLeastMaking, kMostMaking);
  die.weight = figure(kWeight, " kg", 1e-6, kMost);
  die.says.rule_outside = figure(kRule, " mm", 0.0, 1e6);
  if (const auto layers = figure(kLaidUnder, "", 1.0, kMostLayers)) {
    if (*layers == std::floor(*layers)) die.layers_per_stroke = static_cast<int>(*layers);
  }
  if (const std::optional<std::string> words = said.one(kBevelSide, doubts)) {
    const std::string_view side = taken_apart(*words, die.bevel_assumed);
    for (const Bevel bevel : {Bevel::kWaste, Bevel::kPiece, Bevel::kBoth}) {
      if (side.starts_with(name_of(bevel))) die.bevel = name_of(bevel);
    }
    if (die.bevel.empty()) odd(kBevelSide, *words);
  }
}

}  // namespace

void take_texts(const std::vector<std::string>& texts, OwnedDie& die) {
  TextsSaid said;
  for (const std::string& drawn : texts) {
    const std::string_view text = trimmed(drawn);
    take_number(text, die.shown, said);
    take_facts(text, die, said);
  }
  if (die.two_edged) die.of_a_pair = false;
  take_figures(said, die);
  DieSays& says = die.says;
  if (const std::optional<std::string> stamp = said.one(kStamp, says.doubts)) {
    StampParts parts = *stamp_parts(*stamp);
    says.stamp = *stamp;
    says.style = std::move(parts.style);
    says.piece = std::move(parts.piece);
    says.sizes = std::move(parts.sizes);
    die.stamp = die.stamp_mirrored = *stamp;
  }
  says.hand = said.one(kHand, says.doubts).value_or("");
  const auto words = [&](const char* fact) {
    const std::string one = said.one(fact, says.doubts).value_or("");
    return one.starts_with("not stated") ? std::string() : one;
  };
  says.material = words(kMaterial);
  says.rule_thickness = words(kThick);
  says.handle = words(kHandleOf);
}

namespace {

// Labels of a run by the words that a stamp has for them.
template <class Step>
std::optional<std::size_t> step_of(const std::vector<Step>& run, std::string_view text) {
  const std::string label(text);
  for (const bool exactly : {true, false}) {
    for (std::size_t k = 0; k < run.size(); ++k) {
      if (exactly ? run[k].label == label : same_label(run[k].label, label)) return k;
    }
  }
  return std::nullopt;
}

// "7 to 9" and "7", as places in the run.
bool stretch_of(const std::vector<Size>& sizes, std::string_view item, std::vector<std::size_t>& places) {
  if (const auto one = step_of(sizes, item)) {
    places.push_back(*one);
    return true;
  }
  constexpr std::string_view kTo = " to ";
  const std::size_t at = item.find(kTo);
  if (at == std::string_view::npos) return false;
  const auto from = step_of(sizes, item.substr(0, at));
  const auto to = step_of(sizes, item.substr(at + kTo.size()));
  if (!from || !to || *from > *to) return false;
  for (std::size_t k = *from; k <= *to; ++k) places.push_back(k);
  return true;
}

}  // namespace

std::vector<std::pair<std::string, std::string>> sizes_stamped(const std::string& text,
                                                               const DiePlaces& places) {
  const std::vector<Size> sizes = places.whole_sizes();
  const std::vector<Width> widths = places.whole_widths();
  const std::string_view whole = trimmed(text);
  if (const std::size_t last = whole.rfind(' '); last != std::string_view::npos) {
    const auto size = step_of(sizes, whole.substr(0, last));
    const auto width = step_of(widths, whole.substr(last + 1));
    if (size && width) return {{sizes[*size].label, widths[*width].label}};
  }
  SizesWidths list;
  const bool read = each_part(whole, "; ", [&](std::string_view group) {
    const std::size_t head = group.find(": ");
    if (head == std::string_view::npos) return false;
    std::vector<std::size_t> of_widths;
    std::vector<std::size_t> of_sizes;
    const auto width = [&](std::string_view name) {
      const auto found = step_of(widths, name);
      if (found) of_widths.push_back(*found);
      return found.has_value();
    };
    const auto size = [&](std::string_view item) { return stretch_of(sizes, item, of_sizes); };
    if (!each_part(group.substr(0, head), " ", width) || !each_part(group.substr(head + 2), ", ", size))
      return false;
    for (const std::size_t w : of_widths) {
      for (const std::size_t s : of_sizes) list.emplace_back(sizes[s].label, widths[w].label);
    }
    return true;
  });
  return read ? list : SizesWidths{};
}

void take_stamped_sizes(std::vector<OwnedDie>& owned, const DiePlaces& places) {
  for (OwnedDie& die : owned) {
    if (die.foot == OwnedFoot::kUnknown && die.served.empty() && !die.says.sizes.empty())
      die.served = sizes_stamped(die.says.sizes, places);
  }
}

std::vector<std::string> contradictions(const OwnedDie& owned, const DieOrder& order,
                                        const DieOrderLine& line, const PlannedDie& die, bool mirror) {
  const DieSays& says = owned.says;
  std::vector<std::string> list;
  const auto differs = [&](const char* what, const std::string& said, const std::string& here) {
    if (!said.empty() && !here.empty() && said != here)
      list.push_back(fmt::format("{} \"{}\", here \"{}\"", what, said, here));
  };
  differs("style", says.style, order.style);
  differs("piece", says.piece, line.piece);
  if (mirror ? die.other_stamped_apart : die.stamped_apart)
    list.push_back(fmt::format("sizes \"{}\", and its outline is {}{}", says.sizes,
                               die.seams_estimated ? "nearest that of " : "that of ", line.drawn_as));
  else if (!says.sizes.empty() && owned.served.empty())
    list.push_back(fmt::format("sizes \"{}\", which are not of the run", says.sizes));
  const bool pair = die.hands.mode == HandMode::kPair;
  if (pair && !one_foot(line.drawn_foot)) {
    const std::string hand = mirror ? "M" : kAsDrawn;
    if (says.hand == "M" || says.hand == kAsDrawn) differs("foot", says.hand, hand);
  }
  constexpr double kAsPrinted = 0.1;  // mm: the text has one decimal, and the lines may be of that size too
  if (says.rule_outside && std::abs(*says.rule_outside - die.facts.rule_outer) > kAsPrinted)
    list.push_back(fmt::format("{:.1f} mm of rule outside, its lines have {:.1f} mm", *says.rule_outside,
                               die.facts.rule_outer));
  differs("material", says.material, line.material);
  if (order.making.rule_thickness)
    differs(kThick, says.rule_thickness, fmt::format("{:g} mm", *order.making.rule_thickness));
  differs(kHandleOf, says.handle, order.making.handle);
  for (const std::string& doubt : says.doubts) list.push_back("several things of one: " + doubt);
  return list;
}

std::vector<std::string> drawing_notes(const DieOrder& order) {
  DieNames otherwise;
  DieNames left_out;
  for (const DieOrderLine& line : order.lines) {
    for (const DieThere& one : line.there) {
      const std::string name = fmt::format("{}{}{} ({} {})", one.number, one.hand.empty() ? "" : " ",
                                           one.hand, line.piece, line.drawn_as);
      if (!one.contradicts.empty()) otherwise.add(name + " says " + some_of(one.contradicts, 5, ", "));
      if (!one.left_out.empty()) left_out.add(name + ": " + some_of(one.left_out, 5, ", "));
    }
  }
  std::vector<std::string> notes;
  if (!otherwise.list.empty())
    notes.push_back(
        "the texts on drawings of dies that are there already say otherwise than their lines or than this "
        "order: look at each die before it is used (" +
        otherwise.text(kDiesThereFile, "; ") + ")");
  if (!left_out.list.empty())
    notes.push_back(
        "of drawings of dies that are there already this is left out, as it lies on no layer that cuts: see "
        "that it is no edge of the die (" +
        left_out.text(kDiesThereFile, "; ") + ")");
  return notes;
}

}  // namespace lastwright
