#include "cli/planning/works_doubts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "cli/print.hpp"
#include "geometry/counted.hpp"
#include "grading/planning/works_fit.hpp"
#include "grading/sizes/small_letters.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

std::string quoted_list(const std::vector<std::string>& names) {
  std::string text;
  for (const std::string& name : names) text += (text.empty() ? "\"" : ", \"") + name + "\"";
  return text;
}

// What is stated of a material that its way of being bought does not use.
std::string unused_of(const MaterialSpec& material) {
  const bool hides = material.bought_as == BoughtAs::kHides;
  std::vector<std::string> unused;
  if (material.hide && !hides) unused.emplace_back("hide");
  if (material.width && !material.in_strips()) unused.emplace_back("width_mm");
  if (material.length && material.bought_as != BoughtAs::kSheets) unused.emplace_back("length_mm");
  if (material.grain_stated && !material.in_strips()) unused.emplace_back("grain");
  if (material.bought_as == BoughtAs::kPieces) {
    if (material.gap_stated) unused.emplace_back("gap");
    if (material.measured_to_invoiced) unused.emplace_back("measured_to_invoiced");
    if (material.usable_to_total) unused.emplace_back("usable_to_total");
    if (!material.past.empty()) unused.emplace_back("past");
  }
  return quoted_list(unused);
}

// Common practice: measured and invoiced area differ by some hundredths.
constexpr double kLeastPaid = 0.8;
constexpr double kMostPaid = 1.2;

// Common practice: of a hide three quarters and more may be cut.
constexpr double kLeastUsable = 0.5;

// Common practice: the largest hides are of some 700 dm2, the smallest skins that are cut of some 20.
constexpr double kSmallestHide = 10.0;  // dm2
constexpr double kLargestHide = 1000.0;

// Common practice: some millimetres are left between two cuts.
constexpr double kMostGap = 10.0;

// Common practice: of its scale area a material takes hardly more than twice as much.
constexpr double kMostOverScale = 3.0;

// Common practice: what is sold as a roll for pieces is 600 to 2500 mm wide; in centimetres that looks like
// a width that only tapes have.
constexpr double kLeastRoll = 600.0;
constexpr double kMostRoll = 2500.0;

// Widths that are hardly meant, of what is bought in strips; the figures take them as they stand.
std::string odd_width(const MaterialSpec& material) {
  if (!material.width || !material.in_strips()) return "";
  if (material.bought_as == BoughtAs::kSheets)
    return material.length && *material.width > *material.length
               ? fmt::format(
                     "{:g} mm is more than the {:g} mm of \"length_mm\": the width is the shorter; "
                     "reckoned as they stand, the grain along the length unless stated",
                     *material.width, *material.length)
               : "";
  if (*material.width < kLeastRoll / 10.0 || *material.width > kMostRoll / 10.0) return "";
  return fmt::format("a roll {:g} mm wide is narrow for pieces: is it {:g} mm ({:g} cm)?", *material.width,
                     10.0 * *material.width, *material.width);
}

// The ticket prints what "zones" says, and the hide keeps to what "cutting" says.
std::string zones_apart(const std::string& printed, const std::vector<std::string>& kept,
                        const std::set<std::string>& all) {
  if (kept.empty()) return "";
  const std::string text = small_letters(printed);
  const auto names = [&](const std::string& zone) {
    return text.find(small_letters(zone)) != std::string::npos;
  };
  const bool every = std::all_of(kept.begin(), kept.end(), names);
  const bool other = std::any_of(all.begin(), all.end(), [&](const std::string& zone) {
    return names(zone) && std::none_of(kept.begin(), kept.end(), [&](const std::string& one) {
             return small_letters(one).find(small_letters(zone)) != std::string::npos;
           });
  });
  if (every && !other) return "";
  return fmt::format("tickets print \"{}\", and \"cutting\" has it from {}: one of them is wrong", printed,
                     quoted_list(kept));
}

// "vamp, sock"
std::string plain_list(const std::vector<std::string>& names) {
  return fmt::format("{}", fmt::join(names, ", "));
}

// What is odd in a works file, each with its place in it.
class Doubts {
 public:
  explicit Doubts(const LoadedOrder& order) : order_(order), works_(order.works) {
    for (const auto& style : order.loaded) {
      styles_.push_back(&style->spec);
      for (const PieceSpec& piece : style->spec.pieces) cut_.insert(piece.material);
    }
  }

  std::vector<Problem> find() {
    names();
    for (const auto& [name, spec] : works_.materials) {
      material("/materials/" + name, spec);
      for (std::size_t i = 0; i < spec.past.size(); ++i) lot(name, spec, i);
    }
    zones();
    for (const auto& [name, hide] : order_.hides) {
      for (const std::string& doubt : hide.doubts)
        tell("/materials/" + name + "/hide/outline", "the drawing of the hide: " + doubt);
    }
    supplies();
    return std::move(doubts_);
  }

 private:
  void tell(const std::string& at, std::string message) {
    doubts_.push_back({Trouble::kBadValue, std::move(message), {works_.file, 0, at, {}}, {}, {}});
  }

  // Materials that no piece is of, and those of pieces that the file has not got.
  void names() {
    std::map<std::string, std::vector<std::string>> without;  // ordered pieces of materials without a row
    for (const OrderedStyle& style : order_.styles) {
      for (const PieceSpec& piece : style.spec->pieces) {
        if (works_.materials.count(piece.material) > 0) continue;
        std::vector<std::string>& pieces = without[piece.material];
        if (std::find(pieces.begin(), pieces.end(), piece.name) == pieces.end()) pieces.push_back(piece.name);
      }
    }
    std::vector<std::string> missing;
    for (const auto& [material, pieces] : without) missing.push_back(material);
    std::vector<std::string> unused;
    for (const auto& [material, spec] : works_.materials) {
      if (cut_.count(material) > 0) continue;
      if (const std::optional<std::string> near = nearest_name(material, missing)) {
        tell("/materials", fmt::format("no piece is of \"{}\"; did you mean \"{}\"?", material, *near));
      } else {
        unused.push_back(material);
      }
    }
    if (!unused.empty()) tell("/materials", "no piece of the styles is of " + quoted_list(unused));
    std::vector<std::string> absent;  // each with its pieces
    for (const auto& [material, pieces] : without) {
      if (material.empty()) {
        tell("/materials", fmt::format("no material is stated for {}", plain_list(pieces)));
        continue;
      }
      absent.push_back(fmt::format("{} ({})", material, plain_list(pieces)));
    }
    if (!absent.empty())
      tell("/materials", fmt::format("the works file does not have {}: {}; reckoned with no gap, and with no "
                                     "hide, roll or sheet",
                                     counted(absent.size(), "material that pieces are cut from",
                                             "materials that pieces are cut from"),
                                     plain_list(absent)));
  }

  void material(const std::string& at, const MaterialSpec& material) {
    if (const std::string keys = unused_of(material); !keys.empty())
      tell(at, fmt::format("what is bought as {} has no use for {}: in no figure; say what it "
                           "is bought as in \"bought_as\"",
                           name_of(material.bought_as), keys));
    if (const std::string words = odd_width(material); !words.empty()) tell(at + "/width_mm", words);
    const double paid = material.measured_to_invoiced.value_or(1.0);
    if (paid < kLeastPaid || paid > kMostPaid)
      tell(at + "/measured_to_invoiced",
           fmt::format("{:g} is beyond {:g} to {:g}: is it the measured area divided by the invoiced one?",
                       paid, kLeastPaid, kMostPaid));
    if (material.lay.gap > kMostGap)
      tell(at + "/gap", fmt::format("{:g} mm between two cuts is more than {:g}: is it in mm?",
                                    material.lay.gap, kMostGap));
    if (const double usable = material.usable_to_total.value_or(1.0); usable < kLeastUsable)
      tell(at + "/usable_to_total",
           fmt::format("{:g} is less than {:g}: is it the area that may be cut divided by the whole?", usable,
                       kLeastUsable));
    if (const double hide = material.hide ? material.hide->area / 1e4 : kSmallestHide;
        hide < kSmallestHide || hide > kLargestHide)
      tell(at + "/hide", fmt::format("a hide of {:.4g} dm2 is beyond {:g} to {:g}: is it in dm2?", hide,
                                     kSmallestHide, kLargestHide));
  }

  // One lot of the past use of a material, beside those before it.
  void lot(const std::string& name, const MaterialSpec& material, std::size_t i) {
    const PastUse& lot = material.past[i];
    for (std::size_t k = 0; k < i; ++k) {
      const PastUse& other = material.past[k];
      const bool same = other.used == lot.used && other.scale == lot.scale;
      if (other.lot != lot.lot || (lot.lot.empty() && !same)) continue;
      tell(fmt::format("/materials/{}/past/{}", name, i),
           same ? fmt::format("this says what /materials/{}/past/{} says: both are reckoned with", name, k)
                : fmt::format("lot {} has other figures in /materials/{}/past/{}: both are reckoned with",
                              lot.lot, name, k));
      break;
    }
    if (lot.used > kMostOverScale * lot.scale)
      tell(fmt::format("/materials/{}/past/{}", name, i),
           fmt::format("{} used {:g} dm2 for pieces of {:g} dm2 scale area, {:.4g} times as much, where {:g} "
                       "times is a great deal: is one of them of another unit?",
                       lot.lot.empty() ? "the lot" : "lot " + lot.lot, lot.used / 1e4, lot.scale / 1e4,
                       lot.used / lot.scale, kMostOverScale));
    if (lot.used >= lot.scale) return;
    tell(fmt::format("/materials/{}/past/{}", name, i),
         fmt::format("{} used {:g} dm2 for pieces of {:g} dm2 scale area: less than they take where they lie "
                     "closest",
                     lot.lot.empty() ? "the lot" : "lot " + lot.lot, lot.used / 1e4, lot.scale / 1e4));
  }

  // Zones that are printed on tickets and those that pieces are cut from.
  void zones() {
    std::set<std::string> known;
    for (const auto& [piece, rule] : works_.cutting) known.insert(rule.zones.begin(), rule.zones.end());
    for (const auto& [piece, printed] : works_.zones) {
      const auto rule = works_.cutting.find(piece);
      if (rule == works_.cutting.end()) continue;
      if (!no_hide_words(works_, styles_, piece).empty()) continue;  // no ticket prints it
      if (const std::string words = zones_apart(printed, rule->second.zones, known); !words.empty())
        tell("/zones/" + piece, words);
    }
  }

  void supplies() {
    for (const SupplySpec& supply : works_.supplies) {
      if (cut_.count(supply.name) == 0 || !(supply.per_pair || supply.per_case)) continue;
      tell(
          "/supplies/" + supply.name,
          fmt::format(
              "\"{}\" is reckoned from the pieces that are of it, and by the {} as well: both are in what is "
              "to be ordered",
              supply.name, supply.per_pair ? "pair" : "case"));
    }
  }

  const LoadedOrder& order_;
  const WorksSpec& works_;
  std::set<std::string> cut_;  // materials of pieces
  std::vector<const StyleSpec*> styles_;
  std::vector<Problem> doubts_;
};

}  // namespace

std::vector<Problem> works_doubts(const LoadedOrder& order) {
  return Doubts(order).find();
}

std::vector<std::string> doubts_text(const Order& order) {
  std::vector<std::string> lines;
  for (const Problem& one : order.told) {
    const Place& place = one.place;
    std::string line = place.file;
    if (place.line > 0) line += fmt::format(":{}", place.line);
    if (!place.pointer.empty()) line += ": at " + place.pointer;
    lines.push_back(line + ": " + one.message);
  }
  return lines;
}

void print_doubts(const std::vector<std::string>& lines) {
  constexpr std::size_t kMostPrinted = 20;
  for (std::size_t k = 0; k < std::min(lines.size(), kMostPrinted); ++k) print_warning(lines[k]);
  if (lines.size() > kMostPrinted)
    print_warning(fmt::format("and {} more of this kind", lines.size() - kMostPrinted));
}

}  // namespace lastwright
