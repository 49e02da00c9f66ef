#include "grading/planning/ticket_notes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "grading/planning/material_notes.hpp"
#include "grading/style/drawn_feet.hpp"
#include "grading/style/foot_words.hpp"

namespace lastwright {

namespace {

// Of pieces with hands that were counted together, nothing is known of each.
void tell_without_hands(const std::vector<OrderedStyle>& styles, Tickets& all) {
  for (const OrderedStyle& style : styles) {
    std::vector<std::string> names;
    for (const PieceSpec& piece : style.spec->pieces) {
      const bool together = std::any_of(all.components.begin(), all.components.end(), [&](const auto& one) {
        return one.style == style.name && one.piece == piece.name && one.was_counted && one.hand.empty();
      });
      if (piece.hand == Hand::kHanded && piece.per_pair > 1 && together) names.push_back(piece.name);
    }
    if (!names.empty())
      all.notes.push_back(
          fmt::format("{}: left and right were counted together of {}: a shortage of one hand that the other "
                      "makes up for would not show; a column \"hand\" counts them apart",
                      style.name, fmt::join(names, ", ")));
  }
}

// Of materials that are bought ready cut: which pieces.
void tell_ready_cut(const std::vector<OrderedStyle>& styles, const WorksSpec& works, Tickets& all) {
  std::map<std::string, std::set<std::string>> ready;
  for (const OrderedStyle& style : styles) {
    for (const PieceSpec& piece : style.spec->pieces) {
      if (material_spec(works, piece.material).bought_as == BoughtAs::kPieces)
        ready[piece.material].insert(piece.name);
    }
  }
  for (const auto& [material, pieces] : ready)
    all.notes.push_back(fmt::format(
        "{} is bought ready cut, not laid out: its tickets, for {}, count pieces, allow no area and "
        "name no dies",
        material, fmt::join(pieces, ", ")));
}

void tell_feet(const std::vector<OrderedStyle>& styles, Tickets& all) {
  for (const OrderedStyle& style : styles) {
    const std::vector<std::string> handed = handed_pieces(*style.spec);
    if (handed.empty() || one_foot(common_foot(*style.spec, handed))) continue;
    all.notes.push_back(feet_note(*style.spec, handed));
  }
}

}  // namespace

void tell_of_pieces(const std::vector<OrderedStyle>& styles, const WorksSpec& works, Tickets& all) {
  tell_without_hands(styles, all);
  tell_ready_cut(styles, works, all);
  tell_feet(styles, all);
}

void tell_of_numbers(const Order& order, Tickets& all) {
  if (order.named_after_file)
    all.notes.push_back(
        fmt::format("the order is called \"{}\" on tickets and labels, as its file is: a column "
                    "\"order\", or --name of lastwright tickets, calls it otherwise",
                    order.name));
  if (!all.tickets.empty() && !fits_barcode(all.tickets.back().number))
    all.notes.push_back(
        fmt::format("the tickets have no barcode: it holds plain letters only, {} at most, and "
                    "\"{}\" is no such number: give the order another --name",
                    kMostInBarcode, all.tickets.back().number));
  for (const OrderCase& one : all.cases) {
    const std::string code = case_code(all.order, one.number);
    if (code.empty()) {
      all.notes.push_back(fmt::format("case {} has no barcode: it holds plain letters only, {} at most",
                                      one.number, kMostInBarcode));
    } else if (code == one.number && !all.order.empty()) {
      all.notes.push_back(fmt::format(
          "the barcode of case {0} says its number alone, as that of another order may: \"{1} case "
          "{0}\" is not of plain letters only, {2} at most: give the order another --name",
          one.number, all.order, kMostInBarcode));
    }
  }
}

}  // namespace lastwright
