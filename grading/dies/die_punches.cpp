#include "grading/dies/die_punches.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "geometry/counted.hpp"
#include "grading/dies/order/die_names.hpp"

namespace lastwright {

namespace {

void use(std::vector<PunchUse>& all, const DieOrderLine& line, const std::string& punch, bool special,
         int count) {
  auto one = std::find_if(all.begin(), all.end(), [&](const PunchUse& u) {
    return u.piece == line.piece && u.punch == punch && u.special == special && u.on_a_die == count;
  });
  if (one == all.end()) one = all.insert(all.end(), {line.piece, punch, special, count, 0, {}});
  one->dies += line.to_make;
  one->numbers.push_back(line.number);
}

// How one shape of a piece goes over the dies.
struct Shape {
  std::set<std::pair<long, long>> sizes;  // length and width in tenths
  GrowingPunch::Range length;
  GrowingPunch::Range width;
};

double in_mm(long tenths) {
  return static_cast<double>(tenths) / 10.0;
}

void widen(GrowingPunch::Range& range, bool first, long tenths, const std::string& at) {
  const double value = in_mm(tenths);
  if (first || value < range.least) {
    range.least = value;
    range.least_at = at;
  }
  if (first || value > range.greatest) {
    range.greatest = value;
    range.greatest_at = at;
  }
}

// "in length from 6.0 mm (7 E) to 8.5 mm (8 F)"; of what stays "5.0 mm long".
std::string range_words(const GrowingPunch::Range& range, const char* in, const char* across) {
  if (range.least == range.greatest) return fmt::format("{:.1f} mm {}", range.least, across);
  return fmt::format("in {} from {:.1f} mm ({}) to {:.1f} mm ({})", in, range.least, range.least_at,
                     range.greatest, range.greatest_at);
}

}  // namespace

std::vector<PunchUse> punches_used(const DieOrder& order, const DiePlan& plan) {
  std::vector<PunchUse> all;
  for (const DieOrderLine& line : order.lines) {
    if (line.to_make == 0) continue;
    const DieWork& work = plan.dies[line.die].work;
    for (const PunchGroup& group : work.punches) use(all, line, punch_text(group), false, group.count);
    for (const SpecialPunchGroup& group : work.special_punches)
      use(all, line, punch_text(group), true, group.count);
  }
  std::map<std::string, std::size_t> first;  // line of each piece
  for (std::size_t k = order.lines.size(); k-- > 0;) first[order.lines[k].piece] = k;
  std::stable_sort(all.begin(), all.end(), [&](const PunchUse& a, const PunchUse& b) {
    return std::pair(first[a.piece], a.special) < std::pair(first[b.piece], b.special);
  });
  return all;
}

std::vector<GrowingPunch> growing_punches(const DieOrder& order, const DiePlan& plan,
                                          const DieLimits& limits) {
  std::vector<std::pair<std::string, std::map<std::size_t, Shape>>> pieces;  // by number of the cut-out
  for (const DieOrderLine& line : order.lines) {
    const PlannedDie& die = plan.dies[line.die];
    if (die.owned) continue;  // its cut-outs are in the order of its drawing
    if (pieces.empty() || pieces.back().first != line.piece)
      pieces.emplace_back(line.piece, std::map<std::size_t, Shape>{});
    for (std::size_t k = 0; k < die.facts.cut_out_facts.size(); ++k) {
      const CutOutFacts& cut_out = die.facts.cut_out_facts[k];
      if (!is_special_punch(cut_out, limits)) continue;
      const std::pair<long, long> size{std::lround(10.0 * cut_out.length),
                                       std::lround(10.0 * cut_out.across)};
      Shape& shape = pieces.back().second[k];
      const bool first = shape.sizes.empty();
      widen(shape.length, first, size.first, line.drawn_as);
      widen(shape.width, first, size.second, line.drawn_as);
      shape.sizes.insert(size);
    }
  }
  std::vector<GrowingPunch> growing;
  for (const auto& [piece, shapes] : pieces) {
    std::vector<std::set<std::pair<long, long>>> told;  // of the shapes in `growing` of this piece
    const std::size_t before = growing.size();
    for (const auto& [k, shape] : shapes) {
      if (shape.sizes.size() < 2) continue;
      const auto alike = std::find(told.begin(), told.end(), shape.sizes);
      if (alike != told.end()) {
        ++growing[before + static_cast<std::size_t>(alike - told.begin())].shapes;
        continue;
      }
      told.push_back(shape.sizes);
      growing.push_back({piece, 1, shape.length, shape.width, static_cast<int>(shape.sizes.size())});
    }
  }
  return growing;
}

std::vector<std::string> punch_notes(const DieOrder& order, const DiePlan& plan, const StyleSpec& style,
                                     const DieLimits& limits) {
  std::vector<std::string> notes;
  std::string piece;
  for (const GrowingPunch& one : growing_punches(order, plan, limits)) {
    const auto spec = std::find_if(style.pieces.begin(), style.pieces.end(),
                                   [&](const PieceSpec& p) { return p.name == one.piece; });
    if (spec != style.pieces.end() && static_cast<std::size_t>(one.punches) <= spec->cut_outs_held.size())
      continue;  // one for each range, as the style says
    const bool both = one.length.least < one.length.greatest && one.width.least < one.width.greatest;
    const bool longer = one.length.least < one.length.greatest;
    const std::string length = range_words(one.length, "length", "long");
    const std::string width = range_words(one.width, "width", "wide");
    const std::string shapes =
        fmt::format("{} {}{}{}, {} different punches",
                    one.shapes == 1 ? "a shape grows" : fmt::format("{} shapes grow", one.shapes),
                    longer ? length : width, both ? " and " : ", all ", longer ? width : length, one.punches);
    if (piece == one.piece) {
      notes.back() += "; " + shapes;
    } else {
      notes.push_back("special punches of the " + one.piece + " are not the same in every size: " + shapes);
    }
    piece = one.piece;
  }
  for (std::string& note : notes)
    note += ". \"cut_outs_held\" of the piece keeps one shape, and so one punch, over a range of sizes";
  return notes;
}

std::vector<std::string> bridge_notes(const DieOrder& order, const DiePlan& plan) {
  DieNames dies;
  std::string piece;
  for (const DieOrderLine& line : order.lines) {
    const std::string& missing = plan.dies[line.die].work.bridges_missing;
    if (line.to_make == 0 || missing.empty() || line.piece == piece) continue;
    piece = line.piece;
    const auto like = std::count_if(order.lines.begin(), order.lines.end(), [&](const DieOrderLine& other) {
      return other.piece == line.piece && other.to_make > 0 &&
             !plan.dies[other.die].work.bridges_missing.empty();
    });
    dies.add(fmt::format("{} ({} {}): {}{}", line.number, line.piece, line.drawn_as, missing,
                         like > 1 ? fmt::format(", and so of {} of the piece",
                                                counted(static_cast<std::size_t>(like - 1), "other die"))
                                  : ""));
  }
  if (dies.list.empty()) return {};
  return {
      "bridges that are called for have no place, so that none is proposed or priced there: agree with the "
      "die "
      "maker how such a die is stiffened: " +
      dies.text(kDieLinesFile, "; ")};
}

}  // namespace lastwright
