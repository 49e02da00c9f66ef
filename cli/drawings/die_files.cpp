#include "cli/drawings/die_files.hpp"

#include <filesystem>

#include "cli/files/safe_name.hpp"
#include "cli/report/die_finding_tables.hpp"
#include "cli/report/die_line_table.hpp"
#include "cli/report/die_notes.hpp"
#include "cli/report/die_order_page.hpp"
#include "cli/report/die_punch_tables.hpp"
#include "cli/report/die_sheet.hpp"
#include "cli/report/die_tables.hpp"
#include "cli/report/die_there_table.hpp"
#include "cli/tables/csv.hpp"
#include "cli/tables/xlsx.hpp"
#include "geometry/parallel.hpp"
#include "grading/dies/order/die_names.hpp"
#include "grading/dies/order/die_order_json.hpp"

namespace lastwright {

namespace {

Status add_drawing(const PlannedDie& die, const DieOrder& order, const DieOrderLine& line, bool mirror,
                   const std::string& name, const DxfWriteOptions& dxf, OutputSet& set) {
  const Sheet sheet = die_sheet(die, order, line, mirror);
  const Result<std::string> bytes = write_checked_dxf(sheet, dxf);
  if (!bytes) return bytes.problem().in("die", line.number);
  return set.add(name, *bytes);
}

// The drawings of dies that are there already, each under a name of its own.
Status add_earlier_drawings(std::vector<EarlierDie>& earlier, OutputSet& set) {
  SafeNames names;
  for (EarlierDie& one : earlier) {
    one.file = "dies-there/" + names.claim(std::filesystem::path(one.file).stem().string()) + ".dxf";
    if (Status added = set.add(one.file, *one.drawing); !added) return added;
  }
  return Done{};
}

}  // namespace

Status add_die_files(const DieOrder& order, const DiePlan& plan, const DieRules& rules,
                     const DxfWriteOptions& dxf, unsigned threads, std::vector<EarlierDie> earlier,
                     OutputSet& set) {
  std::vector<DieFile> files(order.lines.size());
  SafeNames names;
  for (std::size_t k = 0; k < order.lines.size(); ++k) {
    const DieOrderLine& line = order.lines[k];
    const PlannedDie& die = plan.dies[line.die];
    if (die.to_make() == 0) continue;
    const std::string name = names.claim(line.number + " " + line.piece + " " + line.drawn_as);
    const bool pair = die.hands.mode == HandMode::kPair;
    const std::string hand = pair && !line.hand_drawn.empty() ? " " + line.hand_drawn : "";
    const std::string other = line.hand_mirrored == "M" ? "mirrored" : line.hand_mirrored;
    if (die.make_drawn) files[k].as_drawn = "dies/" + name + hand + ".dxf";
    if (die.make_mirrored) files[k].mirrored = "dies/" + name + " " + other + ".dxf";
  }
  Status drawn = run_jobs(order.lines.size(), threads, [&](std::size_t k) -> Status {
    const DieOrderLine& line = order.lines[k];
    const PlannedDie& die = plan.dies[line.die];
    if (!files[k].as_drawn.empty()) {
      if (Status one = add_drawing(die, order, line, false, files[k].as_drawn, dxf, set); !one) return one;
    }
    return files[k].mirrored.empty() ? Status(Done{})
                                     : add_drawing(die, order, line, true, files[k].mirrored, dxf, set);
  });
  if (!drawn) return drawn;
  if (Status copied = add_earlier_drawings(earlier, set); !copied) return copied;
  std::vector<Table> tables{
      die_table(order, plan),         die_notes_table(order, plan),    die_totals_table(order, plan),
      die_piece_table(plan),          die_curve_table(plan),           die_held_table(plan),
      die_punches_table(order, plan), die_findings_table(order, plan), gathered_findings_table(order, plan),
      die_limits_table(rules.limits)};
  const Table there = dies_there_table(order, plan);
  if (!there.rows.empty()) tables.insert(tables.begin() + 2, there);
  if (!order.unused.empty()) tables.push_back(unused_dies_table(order));
  if (!order.failed.empty()) tables.insert(tables.begin(), failed_checks_table(order));
  const Result<std::string> book = to_xlsx(tables, "Die order: " + order.style);
  if (!book) return book.problem();
  if (Status one = set.add("die-order.xlsx", *book); !one) return one;
  if (Status one = set.add("die-order.csv", to_csv(die_table(order, plan))); !one) return one;
  if (Status one = set.add(kDieNotesFile, to_csv(die_notes_table(order, plan))); !one) return one;
  if (Status one = set.add("die-findings.csv", to_csv(die_findings_table(order, plan))); !one) return one;
  if (Status one = set.add("die-punches.csv", to_csv(die_punches_table(order, plan))); !one) return one;
  if (!there.rows.empty()) {
    if (Status one = set.add(kDiesThereFile, to_csv(there)); !one) return one;
  }
  if (!order.unused.empty()) {
    if (Status one = set.add(kUnusedDiesFile, to_csv(unused_dies_table(order))); !one) return one;
  }
  if (Status one = set.add("die-order.json", die_order_json(order, plan, files, earlier)); !one) return one;
  return set.add("die-order.html", die_order_page(order, plan, rules));
}

}  // namespace lastwright
