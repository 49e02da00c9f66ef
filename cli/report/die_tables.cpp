#include "cli/report/die_tables.hpp"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <cstdint>

#include "cli/report/die_cells.hpp"
#include "grading/dies/plan/die_seams.hpp"

namespace lastwright {

double bound_below(double bound) {
  return std::floor(100.0 * bound + 1e-6) / 100.0;
}

std::string below_limit(double value, double limit) {
  for (int decimals = 3; decimals < 9; ++decimals) {
    std::string shown = with_decimals(value, decimals);
    double read = 0.0;
    std::from_chars(shown.data(), shown.data() + shown.size(), read);
    if ((read < limit) == (value < limit)) return shown;
  }
  return with_decimals(value, 9);
}

Table die_totals_table(const DieOrder& order, const DiePlan& plan) {
  Table table;
  table.name = "totals";
  table.columns = {{"what", 44, 0}, {"value", 14, 2}, {"unit", 10, 0}};
  const auto row = [&](const std::string& what, TableCell value, const char* unit) {
    table.rows.push_back({text_cell(what), std::move(value), text_cell(unit)});
  };
  row("dies, one for every size and width", whole_cell(plan.dies_without), "dies");
  row("dies needed with ties", whole_cell(plan.dies_needed), "dies");
  row("of these already owned: outlines", whole_cell(order.totals.owned), "outlines");
  row("dies to make", whole_cell(order.totals.dies), "dies");
  const bool price = plan.minimised == Minimise::kCost;
  row(price ? "lower bound of the price, which was made least" : "lower bound of dies to make",
      price ? number_cell(bound_below(plan.bound))
            : whole_cell(static_cast<std::int64_t>(std::ceil(plan.bound - 1e-6))),
      price ? order.currency.c_str() : "dies");
  row("proven least", text_cell(plan.proven ? "yes" : "no"), "");
  row("rule outside", number_cell(order.totals.rule_outer), "mm");
  row("rule inside", number_cell(order.totals.rule_inner), "mm");
  const double rule = order.totals.rule_outer + order.totals.rule_inner;
  row("rule in all", number_cell(rule / 1000.0), "m");
  row("the same in feet", number_cell(rule / kFootLength), "ft");
  row("corners", whole_cell(order.totals.corners), "");
  row("punches", whole_cell(order.totals.punches), "");
  row("special punches", whole_cell(order.totals.special_punches), "");
  if (order.totals.weight) row("weight of the rule", number_cell(*order.totals.weight), "kg");
  row("greatest seam difference as served", text_cell(below_limit(plan.worst_seam, plan.seam_limit)), "mm");
  row("seam limit", text_cell(fmt::format("{:g}", plan.seam_limit)), "mm");
  for (const ServedSeam& seam : tied_seams(plan))
    row(fmt::format("not counted, as whole sizes are tied on a piece: {} at {}", seam.name,
                    label_of(seam.at)),
        text_cell(fmt::format("{:.3f}", seam.worst)), "mm");
  if (!order.priced) return table;
  row("price", number_cell(order.totals.price), order.currency.c_str());
  if (order.totals.special_punches > 0)
    row("of the price, special punches",
        order.special_priced ? number_cell(order.totals.special_price) : text_cell("not priced"),
        order.currency.c_str());
  return table;
}

Table die_piece_table(const DiePlan& plan) {
  Table table;
  table.name = "pieces";
  table.columns = {{"piece", 20, 0},
                   {"sizes and widths", 10, 0},
                   {"outlines chosen", 10, 0},
                   {"outlines if no seam held it", 12, 0},
                   {"dies without ties", 10, 0},
                   {"dies", 10, 0},
                   {"greatest deviation, mm", 12, 3}};
  for (const PieceSummary& piece : plan.pieces) {
    table.rows.push_back(
        {text_cell(piece.name), whole_cell(piece.outlines_without), whole_cell(piece.outlines),
         alone_known(plan) ? whole_cell(piece.alone) : text_cell("not reckoned"),
         whole_cell(piece.dies_without), whole_cell(piece.dies), number_cell(piece.worst_deviation)});
  }
  return table;
}

Table die_held_table(const DiePlan& plan) {
  Table table;
  table.name = "what the number hangs on";
  table.columns = {
      {"piece", 20, 0}, {"outlines chosen", 10, 0},  {"if no seam held it", 10, 0}, {"seam", 30, 0},
      {"with", 20, 0},  {"without this seam", 10, 0}};
  for (const PieceHeld& piece : plan.held) {
    if (piece.seams.empty()) {
      table.rows.push_back(
          {text_cell(piece.piece), whole_cell(piece.outlines), whole_cell(piece.alone),
           text_cell("several seams together: " + fmt::format("{}", fmt::join(piece.together, ", ")))});
    }
    for (const PieceHeld::Seam& seam : piece.seams) {
      table.rows.push_back({text_cell(piece.piece), whole_cell(piece.outlines), whole_cell(piece.alone),
                            text_cell(seam.name), text_cell(seam.mate), whole_cell(seam.without)});
    }
  }
  return table;
}

std::string held_note() {
  return "These pieces would need fewer outlines if their seams left them free: the seam limit, not the "
         "tolerance, "
         "decides. Where a seam may be eased by more (a lining, a lap that is skived), give it a limit of "
         "its own "
         "in the rules, \"seam_limits\"; \"lap_seam_limit\" is for all laps.";
}

std::string curve_note(const DiePlan& plan) {
  if (plan.curve.empty() || plan.curve.front().along.empty()) return "";
  return "The tolerance is that of all edges; those that kinds and single edges have of their own are scaled "
         "alike and stand beside it. To order at one of these tolerances state both.";
}

Table die_curve_table(const DiePlan& plan) {
  Table table;
  table.name = "tolerance";
  table.columns = {{"tolerance, mm", 12, 2},
                   {"dies to make", 12, 0},
                   {"at least, by the proof", 12, 0},
                   {"saved by this step", 12, 0}};
  const bool along = !curve_note(plan).empty();
  if (along) table.columns.push_back({"scaled along with it, mm", 30, 0});
  for (std::size_t k = 0; k < plan.curve.size(); ++k) {
    const CurvePoint& point = plan.curve[k];
    table.rows.push_back({number_cell(point.tolerance), whole_cell(point.dies), whole_cell(point.bound),
                          k == 0 ? TableCell{} : whole_cell(plan.curve[k - 1].dies - point.dies)});
    if (along) table.rows.back().push_back(text_cell(point.along));
  }
  return table;
}

}  // namespace lastwright
