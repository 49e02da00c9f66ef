#include "grading/dies/order/die_order.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>

#include "geometry/counted.hpp"
#include "grading/dies/die_bevel.hpp"
#include "grading/dies/die_price.hpp"
#include "grading/dies/die_punches.hpp"
#include "grading/dies/die_rules_doubts.hpp"
#include "grading/dies/order/die_names.hpp"
#include "grading/dies/order/die_numbers.hpp"
#include "grading/dies/order/die_rates.hpp"
#include "grading/dies/order/die_says.hpp"
#include "grading/dies/order/die_size_notes.hpp"
#include "grading/dies/order/die_stamps.hpp"
#include "grading/dies/order/die_stated.hpp"
#include "grading/dies/owned/die_there_notes.hpp"
#include "grading/style/drawn_feet.hpp"
#include "grading/style/foot_words.hpp"
#include "grading/style/seam_feet.hpp"

namespace lastwright {

std::string stamped_sizes(const DieOrderLine& line) {
  if (line.sizes_widths.size() != 1) return line.serves;
  return line.sizes_widths.front().first + " " + line.sizes_widths.front().second;
}

namespace {

std::string stamp(const DieOrder& order, const DieOrderLine& line, const std::string& hand,
                  const std::string& number) {
  return stamp_words(order.style, line.piece, stamped_sizes(line), hand, number);
}

// Both dies of a pair have one number: that of the one that is there, else a new one, which the one that is
// there is restamped with.
void name_hands(const DieOrder& order, const PlannedDie& die, const std::vector<OwnedDie>& owned,
                DieOrderLine& line) {
  const auto number = [&](bool made, bool mirror) {
    if (made || !die.owned) return line.number;
    if (die.to_make() > 0) return line.number;
    return owned[mirror ? die.owned_other.value_or(*die.owned) : *die.owned].number;
  };
  const bool stated = one_foot(line.drawn_foot);
  if (die.hands.mode == HandMode::kPair) {
    line.hand_drawn = stated ? foot_words(line.drawn_foot, false) : "";
    line.hand_mirrored = stated ? foot_words(line.drawn_foot, true) : "M";
    line.stamp_mirrored = stamp(order, line, line.hand_mirrored, number(die.make_mirrored, true));
  } else {
    line.hand_drawn = "L R";
  }
  line.stamp_drawn = stamp(order, line, line.hand_drawn, number(die.make_drawn, false));
}

// Which dies of the line are there, with what their own orders say.
void add_there(const DieOrder& order, const DiePlan& plan, const PlannedDie& die, const DiePlaces& places,
               const std::vector<OwnedDie>& owned, DieOrderLine& line) {
  if (!die.owned) return;
  std::vector<bool> elsewhere(owned.size(), false);
  for (const PlannedDie& other : plan.dies) {
    if (other.piece == die.piece) continue;
    if (other.owned) elsewhere[*other.owned] = true;
    if (other.owned_other) elsewhere[*other.owned_other] = true;
  }
  const auto add = [&](const OwnedDie& one, bool mirror) {
    const bool mirror_then = mirror != (mirror ? die.other_turned : die.turned);
    const std::string& bears = mirror_then ? one.stamp_mirrored : one.stamp;
    std::string& stamp = mirror ? line.stamp_mirrored : line.stamp_drawn;
    const bool apart = mirror ? die.other_stamped_apart : die.stamped_apart;
    const SizesWidths now = borne_now(apart ? SizesWidths{} : one.served, line.sizes_widths, places);
    const std::string head = order.style + " / " + line.piece + " / ";
    stamp.replace(head.size(), stamped_sizes(line).size(), stamped_text(now, places));
    const bool keeps = bears == stamp && now.size() > line.sizes_widths.size();
    const bool unknown = (bears.empty() || one.served.empty()) && of_a_part(places);
    line.there.push_back({one.number, mirror ? line.hand_mirrored : line.hand_drawn, one.rule_height,
                          one.height_assumed, one.bevel, one.bevel_assumed, one.making_tolerance,
                          one.layers_per_stroke, bears, stamp, keeps, unknown,
                          known_of(one, mirror_then, owned, elsewhere),
                          contradictions(one, order, line, die, mirror), one.left_out});
  };
  if (!die.make_drawn) add(owned[*die.owned], false);
  if (die.hands.mode == HandMode::kPair && !die.make_mirrored)
    add(owned[die.owned_other.value_or(*die.owned)], true);
}

// Of one die that is there, as its order says; none where two of a line are not known to be alike.
std::optional<double> weight_there(const PlannedDie& die, const std::vector<OwnedDie>& owned) {
  const std::optional<double>& first = owned[*die.owned].weight;
  return die.owned_other && owned[*die.owned_other].weight != first ? std::nullopt : first;
}

// Of dies to make the order's height; without one that of the other foot's, so that one stroke serves both.
void take_heights(DieOrderLine& line) {
  if (line.there.empty()) return;
  const DieThere& first = line.there.front();
  if (line.to_make > 0) {
    if (!line.height_stated && first.rule_height) line.rule_height = first.rule_height;
    return;
  }
  line.rule_height = first.rule_height;
  line.height_stated = first.rule_height.has_value();
  for (const DieThere& one : line.there) {
    if (one.height_assumed) line.height_stated = false;
    if (one.rule_height != first.rule_height) line.heights_differ = true;
  }
  if (line.heights_differ) line.rule_height.reset();
}

void note_hands(DieOrder& order, const StyleSpec& style) {
  std::vector<std::string> unstated;
  std::vector<std::string> both;
  bool one_is = false;
  for (const DieOrderLine& line : order.lines) {
    if (line.stamp_mirrored.empty()) continue;
    std::vector<std::string>& list = line.drawn_foot == "both" ? both : unstated;
    if (one_foot(line.drawn_foot)) {
      one_is = true;
    } else if (std::find(list.begin(), list.end(), line.piece) == list.end()) {
      list.push_back(line.piece);
    }
  }
  if (!both.empty())
    order.notes.push_back(fmt::format(
        "each shoe takes as many of {} as drawn as mirrored, so their dies are called as drawn and "
        "mirrored (M), not L and R",
        fmt::join(both, ", ")));
  if (unstated.empty()) return;
  order.notes.push_back(
      one_is || !both.empty()
          ? fmt::format(
                "the style does not say which foot the drawing shows of {} (\"drawn_foot\"), so their dies "
                "are called as drawn and mirrored (M), not L and R",
                fmt::join(unstated, ", "))
          : std::string(
                "the style does not say which foot its drawings show (\"drawn_foot\": \"left\"), so dies "
                "are called as drawn and mirrored (M), not L and R"));
  for (std::string& words : hands_together(style, unstated)) order.notes.push_back(std::move(words));
}

void note_unpriced(DieOrder& order, const DieRates& rates) {
  if (!order.priced) return;
  std::vector<std::string> left_out;
  std::vector<std::string> keys;
  const auto add = [&](const std::optional<double>& rate, int count, const char* what, const char* key) {
    if (rate || count == 0) return;
    left_out.push_back(counted(count, what));
    keys.push_back(fmt::format("\"{}\"", key));
  };
  add(rates.per_nick, order.totals.nicks, "nick", "per_nick");
  add(rates.per_bridge, order.totals.bridges, "bridge", "per_bridge");
  add(rates.per_joint, order.totals.joints, "joint", "per_joint");
  if (left_out.empty()) return;
  order.notes.push_back(fmt::format("the price leaves out {}: the rates state no price for one ({})",
                                    fmt::join(left_out, ", "), fmt::join(keys, ", ")));
}

// The seams of a die that is no outline of the grade are judged by the lengths of what it cuts.
void note_estimates(DieOrder& order, const DiePlan& plan, const DiePlaces& places,
                    const std::vector<OwnedDie>& owned) {
  std::vector<std::string> dies;
  for (const DieOrderLine& line : order.lines) {
    if (!plan.dies[line.die].seams_estimated) continue;
    dies.push_back(fmt::format("{} ({}, nearest {}){}", line.owned, line.piece,
                               label_of(plan.dies[line.die].at),
                               drawn_elsewhere(owned[*plan.dies[line.die].owned], places)));
  }
  if (dies.empty()) return;
  order.notes.push_back(
      (dies.size() == 1
           ? "a die that is there already is no outline of the grade"
           : counted(dies.size(), "die") + " that are there already are no outlines of the grade") +
      ", so that the net line is not known: how the seams match is an estimate, by how much longer the edges "
      "are "
      "cut than those of the nearest size and width; sew a pair before cutting in quantity (" +
      named_of(dies, kDiesThereFile) + ")");
}

// A die cuts what it cut, whichever foot its piece is drawn for.
void note_turned(DieOrder& order, const DiePlan& plan) {
  std::vector<std::string> dies;
  for (const DieOrderLine& line : order.lines) {
    const PlannedDie& die = plan.dies[line.die];
    if (die.turned || (die.owned_other && die.other_turned)) dies.push_back(line.owned + " " + line.piece);
  }
  if (dies.empty()) return;
  order.notes.push_back(
      "the pieces of these dies that are there already are drawn the other way round than in the order of "
      "the "
      "dies: what was called as drawn then is the mirrored one now, and the dies are used as they are (" +
      named_of(dies, kDiesThereFile) + ")");
}

// What plain drawings say of themselves, whatever the rules say of new dies.
void note_two_edged(DieOrder& order, const DiePlan& plan, const std::vector<OwnedDie>& owned) {
  std::vector<std::string> dies;
  for (const DieOrderLine& line : order.lines) {
    const std::optional<std::size_t> there = plan.dies[line.die].owned;
    if (there && owned[*there].two_edged && owned[*there].foot == OwnedFoot::kUnknown)
      dies.push_back(line.owned + " " + line.piece);
  }
  if (dies.empty()) return;
  order.notes.push_back(
      "dies that are there already are two-edged, as their drawings say, and cut both feet: see that they "
      "have "
      "two edges (" +
      named_of(dies, kDiesThereFile) + ")");
}

}  // namespace

std::string served_text(const std::vector<std::uint32_t>& serves, const DiePlaces& places) {
  SizesWidths list;
  for (const std::uint32_t demand : serves)
    list.emplace_back(places.demands[demand].size.label, places.demands[demand].width.label);
  return sizes_text(list, places);
}

DieOrder make_die_order(const DiePlan& plan, const StyleSpec& style, const DieRules& rules,
                        const DiePlaces& places, const std::vector<OwnedDie>& owned) {
  DieOrder order;
  order.style = style.name;
  order.works = style.works;
  order.drawn_foot = style.drawn_foot;
  order.making = {rules.rule_height.value_or(kUsualRuleHeight),
                  rules.rule_height.has_value(),
                  name_of(rules.bevel.value_or(kUsualBevel)),
                  rules.bevel.has_value(),
                  rules.rule_thickness,
                  rules.handle,
                  rules.two_edged_bridges,
                  rules.bridge_every.value(),
                  rules.quantity,
                  rules.making_tolerance,
                  rules.layers_per_stroke};
  order.currency = rules.rates.currency;
  order.priced = rules.rates.given();
  order.special_priced = order.priced && rules.rates.per_special_punch.has_value();
  NewNumbers numbers(owned);
  std::vector<std::string> given;  // to dies of this order that are made
  for (std::size_t k = 0; k < plan.dies.size(); ++k) {
    const PlannedDie& die = plan.dies[k];
    const PieceSpec& piece = style.pieces[die.piece];
    DieOrderLine line;
    line.die = k;
    if (die.owned) line.owned = owned[*die.owned].number;
    if (die.owned_other && owned[*die.owned_other].number != line.owned)
      line.owned += " + " + owned[*die.owned_other].number;
    if (die.to_make() > 0) {
      PairNumber pair = pair_number(die, owned, given);
      line.number = pair.number.empty() ? numbers.next() : std::move(pair.number);
      line.renumbered = std::move(pair.why_not);
      given.push_back(line.number);
    } else {
      line.number = line.owned;
    }
    line.piece = piece.name;
    line.drawn_foot = drawn_foot_of(style, piece);
    line.drawn_as = (die.between ? "between " : "") + label_of(die.at);
    line.serves = served_text(die.serves, places);
    for (const std::uint32_t demand : die.serves) {
      line.sizes_widths.emplace_back(places.demands[demand].size.label, places.demands[demand].width.label);
    }
    line.per_pair = piece.per_pair;
    line.to_make = die.to_make();
    line.quantity = die.quantity;
    line.quantity_stated = rules.quantity_of(piece.name).has_value();
    line.material = piece.material;
    line.two_edged = die.hands.mode == HandMode::kTwoEdged;
    const std::optional<double> own_height = rules.rules_of(piece.name).rule_height;
    line.height_asked = own_height.value_or(order.making.rule_height);
    line.height_stated = own_height || order.making.height_stated;
    line.rule_height = line.height_asked;
    line.making_tolerance = rules.making_tolerance_of(piece.name);
    line.layers_per_stroke = rules.layers_of(piece.name);
    line.bridges = static_cast<int>(die.work.bridges.size());
    line.joints = joints_of(die.facts, rules.limits);
    for (const SpecialPunchGroup& group : die.work.special_punches) line.special_punches += group.count;
    if (order.priced) line.price = price_of(die.facts, line.bridges, rules, die.hands, piece.name);
    if (order.special_priced) line.special_price = special_punch_price(die.work, rules, die.hands);
    line.total = line.price * line.to_make;
    name_hands(order, die, owned, line);
    add_there(order, plan, die, places, owned, line);
    take_heights(line);
    if (line.to_make == 0) {
      line.weight = weight_there(die, owned);
    } else if (const auto per_metre = weight_per_metre_of(rules, order.making, line)) {
      line.weight = *per_metre * (die.facts.rule_outer + die.work.rule_inner) / 1000.0;
    }
    DieOrderTotals& totals = order.totals;
    totals.special_punches += line.to_make * line.special_punches;
    totals.special_price += line.to_make * line.special_price;
    if (line.weight && line.to_make > 0)
      totals.weight = totals.weight.value_or(0.0) + line.to_make * *line.weight;
    totals.dies += line.to_make;
    totals.owned += die.owned ? 1 : 0;
    totals.rule_outer += line.to_make * die.facts.rule_outer;
    totals.rule_inner += line.to_make * die.work.rule_inner;
    totals.corners += line.to_make * static_cast<int>(die.facts.corners.size());
    totals.punches += line.to_make * die.facts.punches;
    totals.nicks += line.to_make * die.facts.nicks;
    totals.bridges += line.to_make * line.bridges;
    totals.joints += line.to_make * line.joints;
    totals.price += line.total;
    order.lines.push_back(std::move(line));
  }
  note_hands(order, style);
  if (order.priced && !order.special_priced && order.totals.special_punches > 0)
    order.notes.push_back(
        fmt::format("the price leaves out {}: the rates state no price for one (\"per_special_punch\")",
                    counted(order.totals.special_punches, "special punch", "special punches")));
  note_unpriced(order, rules.rates);
  note_estimates(order, plan, places, owned);
  note_turned(order, plan);
  for (std::string& note : size_untold_notes(order, plan)) order.notes.push_back(std::move(note));
  note_two_edged(order, plan, owned);
  for (const FigureDoubt& doubt : figure_doubts(rules)) {
    if (!doubt.refused) order.notes.push_back("LOOK at " + doubt.pointer + " of the rules: " + doubt.message);
  }
  for (std::string& note : rate_notes(order, rules)) order.notes.push_back(std::move(note));
  for (std::string& note : height_notes(order)) order.notes.push_back(std::move(note));
  for (std::string& note : bevel_notes(order)) order.notes.push_back(std::move(note));
  for (std::string& note : figure_notes(order)) order.notes.push_back(std::move(note));
  order.unmet = quantity_notes(order);
  order.notes.insert(order.notes.end(), order.unmet.begin(), order.unmet.end());
  for (std::string& note : stamp_notes(order)) order.notes.push_back(std::move(note));
  for (std::string& note : renumbered_notes(order)) order.notes.push_back(std::move(note));
  for (std::string& note : number_notes(order)) order.notes.push_back(std::move(note));
  for (std::string& note : drawing_notes(order)) order.notes.push_back(std::move(note));
  for (std::string& note : doubted_numbers(owned)) order.notes.push_back(std::move(note));
  for (std::string& note : bridge_notes(order, plan)) order.notes.push_back(std::move(note));
  for (std::string& note : punch_notes(order, plan, style, rules.limits))
    order.notes.push_back(std::move(note));
  for (const UnusedDie& die : plan.unused) order.unused.emplace_back(owned[die.owned].number, die.why);
  return order;
}

namespace {

StyleFinding unkept(const KeptTie& tie) {
  constexpr std::size_t kShown = 5;  // the others are in the order's JSON
  StyleFinding finding;
  finding.check = "forced tie";
  finding.subject = tie.name;
  finding.worst = static_cast<double>(tie.missed.size());
  finding.limit = 0.0;
  finding.unit = "not kept";
  finding.passed = false;
  for (std::size_t k = 0; k < tie.missed.size() && k < kShown; ++k)
    finding.note +=
        fmt::format("{}{}: {}", k == 0 ? "" : ". ", tie.missed[k].sizes_widths, tie.missed[k].why);
  if (tie.missed.size() > kShown)
    finding.note += fmt::format(". And {} more, in die-order.json", tie.missed.size() - kShown);
  return finding;
}

}  // namespace

std::vector<StyleFinding> failed_checks(const std::vector<StyleFinding>& style, const DiePlan& plan) {
  std::vector<StyleFinding> failed;
  std::copy_if(style.begin(), style.end(), std::back_inserter(failed),
               [](const StyleFinding& f) { return !f.passed; });
  for (const KeptTie& tie : plan.forced) {
    if (!tie.missed.empty()) failed.push_back(unkept(tie));
  }
  for (const ServedSeam& seam : plan.seams) {
    if (seam.over == 0 || seam.tied) continue;
    StyleFinding finding;
    finding.check = "seam as served";
    finding.subject = seam.name;
    finding.worst = seam.worst;
    finding.limit = seam.limit;
    finding.where = seam.at;
    finding.passed = false;
    finding.note = fmt::format(
        "beyond the limit in {} with their own outlines already: look at the pieces' "
        "sizes_tied and rules",
        counted(seam.over, "size and width", "sizes and widths"));
    failed.push_back(std::move(finding));
  }
  return failed;
}

}  // namespace lastwright
