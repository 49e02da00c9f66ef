#include "grading/planning/tickets.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <string>
#include <tuple>

#include "grading/planning/material_notes.hpp"
#include "grading/planning/order_twice.hpp"
#include "grading/planning/ticket_count.hpp"
#include "grading/planning/ticket_dies.hpp"
#include "grading/planning/ticket_notes.hpp"
#include "grading/style/drawn_feet.hpp"

namespace lastwright {

namespace {

using CaseKey = std::pair<std::string, std::string>;  // number, style

void number_pairs(std::vector<OrderCase>& cases) {
  int next = 1;
  for (OrderCase& one : cases) {
    for (NumberedPair& pair : one.pairs) {
      pair.number = next++;
      pair.case_number = one.number;
    }
  }
}

void add_part(OrderCase& one, const OrderLine& line, int count) {
  const auto of_line = [&](const CasePart& part) {
    return part.period == line.period && (line.period != 0 || part.due.empty() == line.due.empty());
  };
  auto part = std::find_if(one.parts.begin(), one.parts.end(), of_line);
  if (part == one.parts.end()) part = one.parts.insert(part, {line.period, line.due, 0});
  part->pairs += count;
  if (!line.due.empty() && (part->due.empty() || line.due < part->due)) part->due = line.due;
}

void sort_parts(std::vector<OrderCase>& cases) {
  const auto at = [](const CasePart& part) {
    return std::tuple(part.period == 0, part.period, part.due.empty());
  };
  for (OrderCase& one : cases)
    std::sort(one.parts.begin(), one.parts.end(),
              [&](const CasePart& a, const CasePart& b) { return at(a) < at(b); });
}

// Symmetric pieces and those turned over serve both feet.
void count_hands(const PieceSpec& spec, int pairs, TicketRow& row) {
  const int pieces = pairs * spec.per_pair;
  if (spec.hand != Hand::kHanded) {
    row.either = pieces;
    return;
  }
  row.mirrored = pairs * (spec.per_pair / 2);
  row.as_drawn = pieces - row.mirrored;
}

// The frames of pair numbers of a piece in one size and width: where their middles lie.
struct NumberFrame {
  Vec2 at;
  double degrees = 0.0;
};
Result<std::vector<NumberFrame>> number_frames(const StyleGrade& grade, std::size_t piece, std::size_t cell) {
  std::vector<NumberFrame> frames;
  const std::vector<FeatureSpec>& features = grade.pieces[piece].bound.spec.features;
  const auto is_number = [](const FeatureSpec& feature) {
    return std::holds_alternative<PairNumberWork>(feature.work);
  };
  if (std::none_of(features.begin(), features.end(), is_number)) return frames;
  const Result<GradedPiece> made = grade.outlined_piece(piece, cell);
  if (!made) return made.problem();
  const Result<std::vector<PlacedFeature>> placed = grade.features(piece, cell, *made);
  if (!placed) return placed.problem();
  for (std::size_t f = 0; f < features.size() && f < placed->size(); ++f) {
    if (!is_number(features[f])) continue;
    Box2 box;
    for (const GradedLine& line : (*placed)[f].lines) box.add(bounds(line.path));
    if (!box.empty()) frames.push_back({box.centre(), std::get<PairNumberWork>(features[f].work).degrees});
  }
  return frames;
}

class TicketMaker {
 public:
  TicketMaker(const Needs& needs, const std::vector<OrderedStyle>& styles, const WorksSpec& works,
              const DieNumbers& dies, const std::vector<OrderCase>& cases)
      : styles_(styles), works_(works), dies_(dies) {
    for (const PieceNeed& need : needs.pieces)
      needs_[{need.style, need.piece, need.size, need.width}] = &need;
    std::map<std::string, std::set<std::string>> pieces;
    for (const PieceNeed& need : needs.pieces) pieces[need.material].insert(need.piece);
    for (const MaterialNeed& need : needs.materials) {
      const std::string zones = zone_note(need.name, pieces[need.name], works);
      rests_on_[need.name] = need.area_rests_on + (zones.empty() ? "" : "; " + zones);
    }
    for (const OrderCase& one : cases) taken_.insert(bare_number(one.number));
  }

  void add(const OrderCase& one, Tickets& all) {
    const auto style = std::find_if(styles_.begin(), styles_.end(),
                                    [&](const OrderedStyle& each) { return each.name == one.style; });
    std::vector<CuttingTicket> tickets;
    for (const PieceSpec& spec : style->spec->pieces) {
      auto ticket = std::find_if(tickets.begin(), tickets.end(),
                                 [&](const CuttingTicket& each) { return each.material == spec.material; });
      if (ticket == tickets.end()) {
        const auto rests_on = rests_on_.find(spec.material);
        tickets.push_back({"",
                           one.number,
                           one.style,
                           spec.material,
                           {},
                           rests_on == rests_on_.end() ? "" : rests_on->second,
                           one.due});
        ticket = tickets.end() - 1;
        ticket->ready_cut = material_spec(works_, spec.material).bought_as == BoughtAs::kPieces;
        if (ticket->ready_cut) ticket->rests_on = "bought ready cut, not laid out: no area is allowed";
      }
      for (std::size_t i = 0; i < one.pairs.size();) {
        std::size_t end = i;
        while (end < one.pairs.size() && one.pairs[end].size == one.pairs[i].size &&
               one.pairs[end].width == one.pairs[i].width)
          ++end;
        ticket->rows.push_back(row_of(style->spec->name, spec, one.pairs[i], static_cast<int>(end - i)));
        ticket->rows.back().drawn_foot = drawn_foot_of(*style->spec, spec);
        i = end;
      }
    }
    for (CuttingTicket& ticket : tickets) {
      ticket.number = next_number(all);
      all.tickets.push_back(std::move(ticket));
    }
  }

 private:
  std::string next_number(const Tickets& all) {
    const std::string before = all.order.empty() ? "" : all.order + " ";
    std::string number;
    do {
      number = fmt::format("T{:04}", ++last_);
    } while (taken_.count(bare_number(number)) > 0 || taken_.count(bare_number(before + number)) > 0);
    return before + number;
  }

  [[nodiscard]] TicketRow row_of(const std::string& style, const PieceSpec& spec, const NumberedPair& first,
                                 int pairs) const {
    TicketRow row;
    row.piece = spec.name;
    row.size = first.size;
    row.width = first.width;
    row.pairs = pairs;
    row.first_pair = first.number;
    row.last_pair = first.number + pairs - 1;
    count_hands(spec, pairs, row);
    const BoughtAs bought = material_spec(works_, spec.material).bought_as;
    if (bought == BoughtAs::kPieces) return row;
    if (const auto dies = dies_.find({style, spec.name, first.size, first.width}); dies != dies_.end())
      row.dies = dies->second;
    if (bought == BoughtAs::kHides) row.zone = zone_of(spec.name);
    const PieceNeed& need = *needs_.at({first.style, spec.name, first.size, first.width});
    row.allowed = need.material_area.value_or(need.scale) * row.pieces();
    return row;
  }

  // In the works' own words, else the zones of the hide that it is laid in.
  [[nodiscard]] std::string zone_of(const std::string& piece) const {
    if (const auto words = works_.zones.find(piece); words != works_.zones.end()) return words->second;
    std::string zones;
    if (const auto rule = works_.cutting.find(piece); rule != works_.cutting.end()) {
      for (const std::string& zone : rule->second.zones) zones += (zones.empty() ? "" : " or ") + zone;
    }
    return zones;
  }

  const std::vector<OrderedStyle>& styles_;
  const WorksSpec& works_;
  const DieNumbers& dies_;
  std::map<std::tuple<std::string, std::string, std::string, std::string>, const PieceNeed*> needs_;
  std::map<std::string, std::string> rests_on_;  // by material
  std::set<std::string> taken_;                  // numbers of cases, which no ticket may seem to have
  int last_ = 0;
};

std::size_t cell_in(const StyleGrade& grade, const std::string& size, const std::string& width) {
  for (std::size_t k = 0; k < grade.run_cells(); ++k) {
    if (grade.cells[k].size.label == size && grade.cells[k].width.label == width) return k;
  }
  return grade.base_cell();
}

Status add_marks(const std::vector<OrderedStyle>& styles, Tickets& all) {
  std::map<std::tuple<std::string, std::string, std::string>,
           std::vector<std::pair<std::string, NumberFrame>>>
      frames;
  std::map<std::string, std::pair<std::size_t, std::size_t>> without;  // of each style's pairs
  for (const OrderCase& one : all.cases) {
    const auto style = std::find_if(styles.begin(), styles.end(),
                                    [&](const OrderedStyle& each) { return each.name == one.style; });
    for (const NumberedPair& pair : one.pairs) {
      const auto [found, first] = frames.try_emplace({pair.style, pair.size, pair.width});
      for (std::size_t p = 0; first && p < style->grade->pieces.size(); ++p) {
        const Result<std::vector<NumberFrame>> some =
            number_frames(*style->grade, p, cell_in(*style->grade, pair.size, pair.width));
        if (!some) return some.problem();
        for (const NumberFrame& frame : *some)
          found->second.emplace_back(style->grade->pieces[p].bound.spec.name, frame);
      }
      ++without[pair.style].second;
      if (found->second.empty()) ++without[pair.style].first;
      for (const auto& [piece, frame] : found->second) {
        all.marks.push_back({pair.number, pair.style, piece,
                             fmt::format("{} {} {}", pair.number, pair.size, pair.width), frame.at,
                             frame.degrees});
      }
    }
  }
  for (const auto& [style, pairs] : without) {
    if (pairs.first > 0)
      all.notes.push_back(
          fmt::format("{}: {} of its {} pairs have no mark: no piece has a frame for the pair's "
                      "number",
                      style, pairs.first, pairs.second));
  }
  return Done{};
}

// The pieces of a need as they were counted: of each hand by itself where they were counted so.
void add_components(const PieceNeed& need, const OrderedStyle& style, const CountedNumber* counted,
                    Tickets& all) {
  ComponentCount count{need.style, need.piece, need.size, need.width, need.pieces};
  if (!counted || !counted->by_hand) {
    count.counted = counted ? counted->all : 0;
    count.was_counted = counted != nullptr;
    all.components.push_back(std::move(count));
    return;
  }
  const auto spec = std::find_if(style.spec->pieces.begin(), style.spec->pieces.end(),
                                 [&](const PieceSpec& one) { return one.name == need.piece; });
  TicketRow hands;
  count_hands(*spec, need.pairs, hands);
  const std::string foot = drawn_foot_of(*style.spec, *spec);
  const bool left_drawn = foot != "right";
  count.was_counted = true;
  count.hand = foot == "both" ? "as drawn" : "left";
  count.wanted = left_drawn ? hands.as_drawn : hands.mirrored;
  count.counted = counted->left;
  all.components.push_back(count);
  count.hand = foot == "both" ? "mirrored" : "right";
  count.wanted = left_drawn ? hands.mirrored : hands.as_drawn;
  count.counted = counted->right;
  all.components.push_back(count);
}

}  // namespace

bool fits_barcode(const std::string& text) {
  return !text.empty() && text.size() <= kMostInBarcode &&
         std::all_of(text.begin(), text.end(), [](char c) { return c >= ' ' && c <= '~'; });
}

std::string case_code(const std::string& order, const std::string& number) {
  std::string whole = order + " case " + number;
  if (!order.empty() && fits_barcode(whole)) return whole;
  return fits_barcode(number) ? number : "";
}

int CuttingTicket::pieces() const {
  int sum = 0;
  for (const TicketRow& row : rows) sum += row.pieces();
  return sum;
}

double CuttingTicket::allowed() const {
  double sum = 0.0;
  for (const TicketRow& row : rows) sum += row.allowed;
  return sum;
}

std::vector<OrderCase> cases_of(const Order& order, int pairs_per_case) {
  std::vector<OrderCase> cases;
  std::map<CaseKey, std::size_t> at;
  std::set<std::string> used;
  const auto pairs_into = [](OrderCase& one, const OrderLine& line, int count) {
    for (int k = 0; k < count; ++k) one.pairs.push_back({0, {}, line.style, line.size, line.width});
    add_part(one, line, count);
    one.assortment = line.assortment;
    // The earliest of those stated, period 0 being none.
    if (line.period != 0 && (one.period == 0 || line.period < one.period)) one.period = line.period;
    if (!line.due.empty() && (one.due.empty() || line.due < one.due)) one.due = line.due;
  };
  for (const OrderLine& line : order.lines) {
    if (line.case_number.empty()) continue;
    used.insert(bare_number(line.case_number));
    const auto [found, first] = at.emplace(CaseKey{line.case_number, line.style}, cases.size());
    if (first) cases.push_back({line.case_number, line.style, {}, 0, {}});
    pairs_into(cases[found->second], line, line.pairs);
  }
  std::map<std::pair<std::string, int>, std::size_t> open;  // by style and period, the case that has room
  int next = 1;
  for (const OrderLine& line : order.lines) {
    if (!line.case_number.empty()) continue;
    for (int left = line.pairs; left > 0;) {
      const std::pair<std::string, int> wanted{line.style, line.period};
      auto found = open.find(wanted);
      if (found == open.end() || static_cast<int>(cases[found->second].pairs.size()) >= pairs_per_case) {
        while (used.count(fmt::format("{}", next)) > 0) ++next;
        cases.push_back({fmt::format("{}", next++), line.style, {}, 0, {}});
        found = open.insert_or_assign(wanted, cases.size() - 1).first;
      }
      OrderCase& one = cases[found->second];
      const int count = std::min(left, pairs_per_case - static_cast<int>(one.pairs.size()));
      pairs_into(one, line, count);
      left -= count;
    }
  }
  number_pairs(cases);
  sort_parts(cases);
  return cases;
}

Result<Tickets> tickets_of(const Order& order, const Needs& needs, const std::vector<OrderedStyle>& styles,
                           const WorksSpec& works, const DieNumbers& dies, const CountedPieces& counted) {
  Tickets all;
  constexpr int kMostNumbered = 200'000;
  if (order.pairs > kMostNumbered) {
    return Problem{Trouble::kBudget,
                   "the order has more pairs than are numbered in one go; split it",
                   {order.file, 0, {}, {}},
                   static_cast<double>(order.pairs),
                   static_cast<double>(kMostNumbered)};
  }
  all.order = order.name;
  all.cases = cases_of(order, works.pairs_per_case);
  TicketMaker maker(needs, styles, works, dies, all.cases);
  for (const OrderCase& one : all.cases) maker.add(one, all);
  if (Status marked = add_marks(styles, all); !marked) return marked.problem();
  CountedPieces left = counted;
  for (const PieceNeed& need : needs.pieces) {
    const auto style = std::find_if(styles.begin(), styles.end(),
                                    [&](const OrderedStyle& each) { return each.name == need.style; });
    const auto found = left.find({need.style, need.piece, need.size, need.width});
    add_components(need, *style, found == left.end() ? nullptr : &found->second, all);
    if (found != left.end()) left.erase(found);
  }
  tell_of_pieces(styles, works, all);
  if (!left.empty()) {
    const auto& [style, piece, size, width] = left.begin()->first;
    return bad_value(fmt::format("{} {} of {} {} were counted, which the order does not have",
                                 left.begin()->second.all, piece, size, width));
  }
  if (Status known = take_dies(styles, works, dies, all); !known) return known.problem();
  tell_of_numbers(order, all);
  if (Status counted_again = check_ticket_count(order, styles, all); !counted_again)
    return counted_again.problem();
  return all;
}

}  // namespace lastwright
