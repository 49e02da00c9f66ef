#include "cli/commands/tickets.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "cli/files/order_folder.hpp"
#include "cli/files/output_set.hpp"
#include "cli/planning/label_sheet.hpp"
#include "cli/planning/load_order.hpp"
#include "cli/planning/order_told.hpp"
#include "cli/planning/stale_dies.hpp"
#include "cli/planning/table_file.hpp"
#include "cli/planning/ticket_pages.hpp"
#include "cli/planning/ticket_report.hpp"
#include "cli/planning/works_doubts.hpp"
#include "cli/print.hpp"
#include "cli/progress.hpp"
#include "cli/style_options.hpp"
#include "cli/tables/csv.hpp"
#include "cli/tables/xlsx.hpp"
#include "geometry/files/read_file.hpp"
#include "grading/checks/lasting/feet_told.hpp"
#include "grading/dies/order/die_order_read.hpp"
#include "grading/planning/headings.hpp"
#include "grading/planning/ticket_dies.hpp"

namespace lastwright {

namespace {

struct TicketsCommand {
  LoadOrderOptions files;
  std::string out;
  std::vector<std::string> dies;
  std::string counted;
  bool force = false;
};

std::string die_order_file(const std::string& name) {
  return name.ends_with(".json") ? name : name + "/die-order.json";
}

// What the die order says failed, beside what the style's own checks say already.
Status add_failed_of(const std::string& text, const std::string& path, FailedStyles& failed) {
  const Result<OrderFailed> of_order = read_order_failed(text, path);
  if (!of_order) return of_order.problem();
  std::vector<StyleFinding> more;
  const auto known = std::find_if(failed.begin(), failed.end(),
                                  [&](const FailedStyle& one) { return one.style == of_order->style; });
  for (const StyleFinding& finding : of_order->failed) {
    const bool there =
        known != failed.end() &&
        std::any_of(known->findings.begin(), known->findings.end(), [&](const StyleFinding& one) {
          return one.check == finding.check && one.subject == finding.subject;
        });
    if (!there) more.push_back(finding);
  }
  if (known == failed.end()) {
    add_failed(failed, of_order->style, more);
  } else {
    known->findings.insert(known->findings.end(), more.begin(), more.end());
  }
  return Done{};
}

// The dies of all orders, and what of their styles' files is another than they were made from.
struct OrdersOfDies {
  DieNumbers numbers;
  std::vector<DieDoubt> stale;
};

Result<OrdersOfDies> dies_of(const TicketsCommand& command, LoadedOrder& order) {
  OrdersOfDies all;
  for (const std::string& dies : command.dies) {
    const std::string path = die_order_file(dies);
    const Result<std::string> text = read_file(path);
    if (!text) return text.problem();
    Result<DieOrderDies> read = read_order_dies(*text, path);
    if (!read) return read.problem();
    if (const Status same = order_as_written(path, OrderFiles::kOrder); !same) return same.problem();
    if (const Status added = add_failed_of(*text, path, order.failed); !added) return added.problem();
    for (auto& [at, dies_there] : read->numbers) {
      if (!all.numbers.emplace(at, std::move(dies_there)).second)
        return bad_value(fmt::format("two die orders are for the style \"{}\": give one", std::get<0>(at)))
            .in_file(path);
    }
    const Result<std::vector<DieDoubt>> stale = stale_dies(order, read->style, read->made_from);
    if (!stale) return stale.problem();
    all.stale.insert(all.stale.end(), stale->begin(), stale->end());
  }
  return all;
}

CountedList counted_list(const TicketsCommand& command, const LoadedOrder& order) {
  if (command.counted.empty()) return {};
  const Result<TextTable> table = read_table_file(command.counted, {.called = "counted", .option = ""},
                                                  heads_counted, nearly_heads_counted);
  if (!table) return {{}, {table.problem()}, {}};
  return read_counted(*table, order.styles, order.order);
}

Status add_label_files(const Tickets& tickets, const LoadedOrder& order, const LabelSheet& sheet,
                       OutputSet& set) {
  const LabelSpec& spec = order.works.labels;
  const Result<std::string> pdf = labels_pdf(tickets, spec, sheet, order.failed);
  if (!pdf) return pdf.problem();
  if (Status one = set.add("labels.pdf", *pdf); !one) return one;
  return set.add("labels.json", labels_json(spec, sheet, order.failed));
}

Status add_ticket_files(const Tickets& tickets, const Order& order, const FailedStyles& failed,
                        OutputSet& set) {
  std::vector<Table> tables = ticket_tables(tickets);
  if (!tickets.notes.empty()) tables.push_back(ticket_notes(tickets));
  const std::vector<Table> told = told_tables(order, failed);
  tables.insert(tables.begin(), told.begin(), told.end());
  const Result<std::string> book = to_xlsx(tables, "Cutting tickets");
  if (!book) return book.problem();
  const Result<std::string> pdf = tickets_pdf(tickets, order, failed);
  if (!pdf) return pdf.problem();
  if (Status one = set.add("tickets.xlsx", *book); !one) return one;
  if (Status one = set.add("tickets.pdf", *pdf); !one) return one;
  for (const Table& table : tables) {
    if (Status one = set.add(table.name + ".csv", to_csv(table)); !one) return one;
  }
  return set.add("tickets.json", tickets_json(tickets, order, failed));
}

// What puts in doubt which foot a piece of the ordered styles is for.
void tell_feet_doubted(const LoadedOrder& order, Tickets& tickets) {
  for (std::size_t s = 0; s < order.findings.size(); ++s) {
    for (std::string& line : feet_told(order.loaded[s]->spec.name, order.findings[s]))
      tickets.notes.push_back(std::move(line));
  }
}

ExitCode run_tickets(const TicketsCommand& command) {
  Checked<LoadedOrder> load = load_order(command.files);
  if (!load) return print_problems(load.problems());
  LoadedOrder& order = *load;
  if (order.order.lines.empty()) {
    for (const Problem& problem : order.order.bad_rows) print_problem(problem);
    return print_problem(
        bad_value("the order has no row that could be understood").in_file(order.order.file));
  }
  // Of a case, a ticket or a pair that two orders share nobody could tell again whose it is.
  if (order.order.names.size() > 1 && command.files.name.empty()) {
    return print_problem(
        bad_value(
            fmt::format("rows of {} orders ({}) would share cases, tickets and labels: give each order in "
                        "a file of its own, or call all of it one order by --name",
                        order.order.names.size(), fmt::join(order.order.names, ", ")))
            .in_file(order.order.file));
  }
  if (!command.counted.empty()) order.inputs.push_back(command.counted);
  for (const std::string& dies : command.dies) order.inputs.push_back(die_order_file(dies));
  const Result<OrdersOfDies> dies = dies_of(command, order);
  if (!dies) return print_problem(dies.problem());
  CountedList counted = counted_list(command, order);
  if (!counted.problems.empty()) return print_problems(counted.problems);
  order.order.told.insert(order.order.told.end(), counted.told.begin(), counted.told.end());
  Result<OutputSet> set = OutputSet::begin(command.out, {.force = command.force, .inputs = order.inputs});
  if (!set) return print_problem(set.problem());
  Result<Needs> needs = Needs{};
  {
    Progress progress("laying", outlines_of(order.order, order.styles));
    needs = needs_of(order.order, order.styles, order.works,
                     {command.files.threads, [&](std::size_t count) { progress.advance(count); }});
  }
  if (!needs) return print_problem(needs.problem());
  Result<Tickets> tickets =
      tickets_of(order.order, *needs, order.styles, order.works, dies->numbers, counted.pieces);
  if (!tickets) return print_problem(tickets.problem());
  tell_feet_doubted(order, *tickets);
  tickets->die_doubts.insert(tickets->die_doubts.begin(), dies->stale.begin(), dies->stale.end());
  if (Status added = add_ticket_files(*tickets, order.order, order.failed, *set); !added)
    return print_problem(added.problem());
  const Result<LabelSheet> labels = label_sheet_of(*tickets, *needs, order);
  if (!labels) return print_problem(labels.problem());
  if (Status added = add_label_files(*tickets, order, *labels, *set); !added)
    return print_problem(added.problem());
  if (const Result<WrittenSet> done = set->commit(); !done) return print_problem(done.problem());
  std::string text = tickets_text(*tickets);
  for (const std::string& note : labels->notes) text += note + "\n";
  const ExitCode said =
      tell_failed(print_summary(text), order.failed, "see lastwright check; cut nothing by these tickets");
  print_doubts(doubts_text(order.order));
  print_doubts(die_doubts_text(*tickets));
  for (const Problem& problem : order.order.bad_rows) print_problem(problem);
  if (said != ExitCode::kOk) return said;
  const bool missing = std::any_of(tickets->components.begin(), tickets->components.end(),
                                   [](const ComponentCount& count) { return count.short_by() > 0; });
  return missing || !tickets->die_doubts.empty() || !order.order.bad_rows.empty() ? ExitCode::kCheckFailed
                                                                                  : ExitCode::kOk;
}

}  // namespace

void add_tickets(Program& app, Action& action) {
  auto command = std::make_shared<TicketsCommand>();
  Command* sub = app.add_subcommand("tickets",
                                    "Write cutting tickets by case and material, pair numbers and marks, a "
                                    "sorting list, labels, and what is short");
  sub->add_option("order", command->files.order, "the order as CSV or XLSX; see lastwright needs --help")
      ->required();
  sub->add_option("--sheet", command->files.sheet,
                  "sheet of the order's workbook; unless given the only one, or the one called order");
  sub->add_option("--name", command->files.name,
                  "number or name of the order, which stands before each ticket's number and on the labels; "
                  "unless given as its column \"order\" says, else as its file is called");
  sub->add_option("--works", command->files.works, "the works file: styles, materials, assortments")
      ->required();
  sub->add_option("-o,--out", command->out, "folder for PDF, XLSX, CSV and JSON; it is created")->required();
  sub->add_option("--dies", command->dies,
                  "folder of a die order: tickets then name the dies; one for each style that is ordered");
  sub->add_option("--counted", command->counted,
                  "CSV or XLSX of what was cut: piece, size, width, count, and hand where left and right are "
                  "counted apart; what is short is listed");
  sub->add_option("--threads", command->files.threads,
                  "worker threads; 0: one per core. The results do not depend on it");
  sub->add_flag("--force", command->force, "replace an earlier set in the folder");
  add_load_style_options(*sub, command->files.files);
  sub->callback([command, &action] { action = [command] { return run_tickets(*command); }; });
}

}  // namespace lastwright
