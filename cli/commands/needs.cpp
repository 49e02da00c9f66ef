#include "cli/commands/needs.hpp"

#include <memory>

#include "cli/files/output_set.hpp"
#include "cli/planning/load_order.hpp"
#include "cli/planning/needs_json.hpp"
#include "cli/planning/needs_report.hpp"
#include "cli/planning/works_doubts.hpp"
#include "cli/print.hpp"
#include "cli/progress.hpp"
#include "cli/style_options.hpp"
#include "cli/tables/csv.hpp"
#include "cli/tables/xlsx.hpp"
#include "grading/json/json_schema.hpp"
#include "grading/json/schema_outline.hpp"
#include "grading/planning/works_json.hpp"

namespace lastwright {

namespace {

struct NeedsCommand {
  LoadOrderOptions files;
  std::string out;
  bool force = false;
  bool explain = false;  // print the keys of a works file instead
};

Status add_needs_files(const Needs& needs, const Order& order, const FailedStyles& failed, OutputSet& set) {
  const std::vector<Table> tables = needs_tables(needs, order, failed);
  const Result<std::string> book = to_xlsx(tables, "What the order takes");
  if (!book) return book.problem();
  if (Status one = set.add("needs.xlsx", *book); !one) return one;
  for (const Table& table : tables) {
    if (Status one = set.add(table.name + ".csv", to_csv(table)); !one) return one;
  }
  if (Status one = set.add("needs.json", needs_json(needs, order, failed)); !one) return one;
  return set.add("needs.html", needs_page(needs, order, failed));
}

ExitCode run_needs(const NeedsCommand& command) {
  if (command.explain) return print_result(schema_outline(works_schema()));
  for (const auto& [name, given] :
       {std::pair{"order", &command.files.order}, std::pair{"--works", &command.files.works},
        std::pair{"--out", &command.out}}) {
    if (given->empty())
      return print_problem(
          {Trouble::kUsage, std::string(name) + " is required; see lastwright needs --help", {}, {}, {}});
  }
  const Checked<LoadedOrder> load = load_order(command.files);
  if (!load) return print_problems(load.problems());
  const LoadedOrder& order = *load;
  Result<OutputSet> set = OutputSet::begin(command.out, {.force = command.force, .inputs = order.inputs});
  if (!set) return print_problem(set.problem());
  Result<Needs> needs = Needs{};
  {
    Progress progress("laying", outlines_of(order.order, order.styles));
    const NeedsOptions options{command.files.threads, [&](std::size_t count) { progress.advance(count); }};
    needs = needs_of(order.order, order.styles, order.works, options);
  }
  if (!needs) return print_problem(needs.problem());
  if (Status added = add_needs_files(*needs, order.order, order.failed, *set); !added)
    return print_problem(added.problem());
  if (const Result<WrittenSet> done = set->commit(); !done) return print_problem(done.problem());
  const ExitCode said = tell_failed(print_summary(needs_text(*needs, order.order)), order.failed,
                                    "see lastwright check; cut and buy nothing by these figures");
  print_doubts(doubts_text(order.order));
  for (const Problem& problem : order.order.bad_rows) print_problem(problem);
  if (said != ExitCode::kOk) return said;
  return order.order.bad_rows.empty() ? ExitCode::kOk : ExitCode::kCheckFailed;
}

}  // namespace

void add_needs(Program& app, Action& action) {
  auto command = std::make_shared<NeedsCommand>();
  Command* sub = app.add_subcommand(
      "needs", "Work out what an order takes of each material: net area, scale area, waste, what to buy");
  sub->add_option("order", command->files.order,
                  "the order as CSV or XLSX: size, width, pairs and, if you like, style, case, period; or "
                  "assortment and cases; or a column for each size and width");
  sub->add_option("--sheet", command->files.sheet,
                  "sheet of the order's workbook; unless given the only one, or the one called order");
  sub->add_option("--works", command->files.works,
                  "the works file: styles, materials, assortments (JSON; --explain lists its keys)");
  sub->add_option("-o,--out", command->out, "folder for the tables and the page; it is created");
  sub->add_flag("--explain", command->explain, "print every key of a works file and what it means");
  sub->add_option("--threads", command->files.threads,
                  "worker threads; 0: one per core. The results do not depend on it");
  sub->add_flag("--force", command->force, "replace an earlier set in the folder");
  add_load_style_options(*sub, command->files.files);
  sub->callback([command, &action] { action = [command] { return run_needs(*command); }; });
}

}  // namespace lastwright
