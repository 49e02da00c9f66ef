#include "cli/report/die_text.hpp"

#include <fmt/format.h>

#include <cmath>

#include "cli/report/die_finding_tables.hpp"
#include "cli/report/die_tables.hpp"
#include "cli/report/die_words.hpp"
#include "cli/report/findings_text.hpp"
#include "geometry/counted.hpp"
#include "grading/dies/plan/die_seams.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kShownUnused = 10;

// "904.4 m (2,967.3 ft)"
std::string rule_words(const DieOrder& order) {
  const double rule = order.totals.rule_outer + order.totals.rule_inner;
  return fmt::format("{} m ({} ft)", with_thousands(rule / 1000.0, 1), with_thousands(rule / kFootLength, 1));
}

// What of the price is for special punches, or that it leaves them out.
std::string special_price_words(const DieOrder& order) {
  if (order.totals.special_punches == 0) return "";
  return order.special_priced
             ? fmt::format(", {} of it for special punches", with_thousands(order.totals.special_price, 2))
             : ", without special punches";
}

std::string limit_words(const DiePlan& plan) {
  if (plan.seams_eased == 0) return fmt::format("limit {:g}", plan.seam_limit);
  return fmt::format("limit {:g}; {} with a wider limit of {} own not counted", plan.seam_limit,
                     counted(plan.seams_eased, "seam"), plan.seams_eased == 1 ? "its" : "their");
}

constexpr std::size_t kTiedShown = 5;  // seams; a note names all

std::string totals_text(const DieOrder& order, const DiePlan& plan) {
  std::string text = fmt::format("{}: {} {} to make, {} with one for every size and width; {}\n", order.style,
                                 with_thousands(order.totals.dies), noun_of(order.totals.dies, "die"),
                                 with_thousands(plan.dies_without), bound_text(order, plan));
  if (order.totals.owned > 0)
    text += "  " + counted(order.totals.owned, "outline is", "outlines are") + " cut by dies already owned\n";
  text += fmt::format("  {} of rule; greatest seam difference as served {} mm ({})\n", rule_words(order),
                      below_limit(plan.worst_seam, plan.seam_limit), limit_words(plan));
  if (const std::vector<std::string> tied = tied_seam_words(plan); !tied.empty())
    text += "  not counted, as whole sizes are tied on a piece of them: " + some_of(tied, kTiedShown) + "\n";
  if (order.priced)
    text += fmt::format("  price {} {} for all dies to make{}\n", with_thousands(order.totals.price, 2),
                        order.currency, special_price_words(order));
  return text;
}

std::string pieces_text(const DiePlan& plan) {
  std::string text;
  for (const PieceSummary& piece : plan.pieces) {
    text += fmt::format(
        "  {:<20} {:>4} {} for {}, {:.3f} mm at most{}\n", piece.name, piece.outlines,
        noun_of(piece.outlines, "outline"),
        counted(piece.outlines_without, "size and width", "sizes and widths"), piece.worst_deviation,
        piece.alone < piece.outlines ? fmt::format("; {} if no seam held it", piece.alone) : "");
  }
  for (const CurvePoint& point : plan.curve) {
    text += fmt::format("  at {:g} mm{}: {}{}\n", point.tolerance,
                        point.along.empty() ? "" : fmt::format(" ({})", point.along),
                        with_thousands(point.dies) + " " + noun_of(point.dies, "die"),
                        point.proven ? "" : fmt::format(", at least {}", point.bound));
  }
  return text;
}

std::string held_lines(const DiePlan& plan) {
  std::string text;
  for (const PieceHeld& piece : plan.held) {
    text += fmt::format("  {} needs {} for its seams, {} if none held it:", piece.piece,
                        counted(piece.outlines, "outline"), piece.alone);
    if (piece.seams.empty())
      text += fmt::format(" several seams hold it together ({})", fmt::join(piece.together, "; "));
    for (std::size_t k = 0; k < piece.seams.size() && k < 3; ++k) {
      text += fmt::format("{} {} without the seam \"{}\" to the {}", k == 0 ? "" : ",",
                          piece.seams[k].without, piece.seams[k].name, piece.seams[k].mate);
    }
    text += "\n";
  }
  return text;
}

std::string findings_lines(const DieOrder& order, const DiePlan& plan) {
  const Table findings = gathered_findings_table(order, plan);
  if (findings.rows.empty()) return "";
  std::string text =
      "  findings of the die-making checks, the worst of each piece and kind (all: die-findings.csv):\n";
  for (const auto& row : findings.rows) {
    const auto words = [&](std::size_t c) { return std::get<std::string>(row[c].value); };
    text += fmt::format("    {:<16} {:<20} {:>7.2f} {:<3}  limit {:<6g} in {:>3} {}\n", words(0), words(1),
                        std::get<double>(row[2].value), words(4), std::get<double>(row[3].value),
                        std::get<std::int64_t>(row[5].value),
                        noun_of(std::get<std::int64_t>(row[5].value), "size and width", "sizes and widths"));
  }
  return text;
}

std::string unused_text(const DieOrder& order) {
  if (order.unused.empty()) return "";
  std::string text =
      "  " + counted(order.unused.size(), "owned die cuts", "owned dies cut") + " no size of this run:\n";
  for (std::size_t k = 0; k < order.unused.size() && k < kShownUnused; ++k)
    text += fmt::format("    {}: {}\n", order.unused[k].first, order.unused[k].second);
  if (order.unused.size() > kShownUnused)
    text += fmt::format("    and {} more: owned-not-used.csv\n", order.unused.size() - kShownUnused);
  return text;
}

}  // namespace

std::string bound_text(const DieOrder& order, const DiePlan& plan) {
  if (plan.minimised == Minimise::kCost) {
    return plan.proven ? "price proven least"
                       : fmt::format("price not proven least, {:.2f} {} at least", bound_below(plan.bound),
                                     order.currency);
  }
  return plan.proven ? "proven least"
                     : fmt::format("not proven least, {:.0f} at least", std::ceil(plan.bound - 1e-6));
}

std::vector<std::pair<std::string, std::string>> die_facts(const DieOrder& order, const DiePlan& plan) {
  const bool price = plan.minimised == Minimise::kCost;
  std::vector<std::pair<std::string, std::string>> facts{
      {with_thousands(order.totals.dies), noun_of(order.totals.dies, "die") + " to make"},
      {with_thousands(plan.dies_without), "with one for every size and width"},
      {with_thousands(plan.dies_without - plan.dies_needed), "saved by ties"},
      {rule_words(order), "of rule"}};
  if (plan.proven) {
    facts.emplace_back("proven", price ? "to be the least price" : "to be the fewest");
  } else if (price) {
    facts.emplace_back(fmt::format("{:.2f} {}", bound_below(plan.bound), order.currency),
                       "no choice costs less");
  } else {
    facts.emplace_back(fmt::format("{:.0f}", std::ceil(plan.bound - 1e-6)), "no choice needs fewer");
  }
  facts.emplace_back(below_limit(plan.worst_seam, plan.seam_limit) + " mm",
                     "greatest seam difference as served, " +
                         (plan.seams_eased == 0 ? fmt::format("limit {:g} mm", plan.seam_limit)
                                                : "in mm, " + limit_words(plan)));
  if (const std::vector<ServedSeam> tied = tied_seams(plan); !tied.empty())
    facts.emplace_back(fmt::format("{:.3f} mm", tied.front().worst),
                       fmt::format("not counted there, as whole sizes are tied: {} at {}{}",
                                   tied.front().name, label_of(tied.front().at),
                                   tied.size() == 1 ? std::string()
                                                    : fmt::format(" and {} less, see the notes",
                                                                  counted(tied.size() - 1, "seam"))));
  if (order.priced)
    facts.emplace_back(with_thousands(order.totals.price, 2) + " " + order.currency,
                       "for all dies to make, by the rates given" + special_price_words(order));
  if (order.totals.weight) facts.emplace_back(with_thousands(*order.totals.weight, 1) + " kg", "of rule");
  return facts;
}

std::string die_order_text(const DieOrder& order, const DiePlan& plan) {
  std::string text = totals_text(order, plan);
  text += pieces_text(plan);
  text += held_lines(plan);
  text += findings_lines(order, plan);
  text += unused_text(order);
  if (const std::string missing = not_stated_text(order); !missing.empty()) text += "  " + missing + "\n";
  for (const std::string& note : order.notes) text += "  note: " + note + "\n";
  for (const std::string& note : plan.notes) text += "  note: " + note + "\n";
  if (!order.failed.empty()) {
    text += findings_text(order.failed, true);
    text += "  CHECKS FAILED: see the lines marked FAIL; have no die made before they pass\n";
  }
  return text;
}

}  // namespace lastwright
