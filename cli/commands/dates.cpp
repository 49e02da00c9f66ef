#include "cli/commands/dates.hpp"

#include <algorithm>
#include <memory>

#include "cli/files/output_set.hpp"
#include "cli/planning/dates_report.hpp"
#include "cli/planning/load_order.hpp"
#include "cli/planning/load_works.hpp"
#include "cli/planning/order_told.hpp"
#include "cli/planning/works_doubts.hpp"
#include "cli/print.hpp"
#include "cli/progress.hpp"
#include "cli/style_options.hpp"
#include "cli/tables/csv.hpp"
#include "cli/tables/xlsx.hpp"

namespace lastwright {

namespace {

struct DatesCommand {
  LoadOrderOptions files;
  std::string out;
  bool force = false;
};

// The schedule with the works and what the order could not say; without an order of the supplies alone.
struct Dated {
  WorksSpec works;
  Schedule schedule;
  std::vector<std::string> inputs;
  Order order;          // what of it is told and left out
  FailedStyles failed;  // checks of the styles that are ordered
};

Checked<Dated> dated_supplies(const DatesCommand& command) {
  Checked<WorksSpec> works = load_works(command.files.works);
  if (!works) return works.problems();
  Result<Schedule> schedule = schedule_of({}, {}, *works);
  if (!schedule) return schedule.problem().in_file(command.files.works);
  return Dated{*std::move(works), *std::move(schedule), {command.files.works}, {}, {}};
}

Checked<Dated> dated_order(const DatesCommand& command) {
  Checked<LoadedOrder> load = load_order(command.files);
  if (!load) return load.problems();
  LoadedOrder& order = *load;
  Progress progress("laying", outlines_of(order.order, order.styles));
  const Result<Needs> needs =
      needs_of(order.order, order.styles, order.works,
               {command.files.threads, [&](std::size_t count) { progress.advance(count); }});
  if (!needs) return needs.problem();
  Result<Schedule> schedule = schedule_of(order.order, *needs, order.works);
  if (!schedule) return schedule.problem().in_file(command.files.works);
  return Dated{std::move(order.works), *std::move(schedule), std::move(order.inputs), std::move(order.order),
               std::move(order.failed)};
}

ExitCode run_dates(const DatesCommand& command) {
  const Checked<Dated> dated = command.files.order.empty() ? dated_supplies(command) : dated_order(command);
  if (!dated) return print_problems(dated.problems());
  Result<OutputSet> set = OutputSet::begin(command.out, {.force = command.force, .inputs = dated->inputs});
  if (!set) return print_problem(set.problem());
  std::vector<Table> tables = dates_tables(dated->schedule, dated->works, dated->order);
  const std::string to_place = to_csv(tables.front());
  const std::vector<Table> told = told_tables(dated->order, dated->failed);
  tables.insert(tables.begin(), told.begin(), told.end());
  const Result<std::string> book = to_xlsx(tables, "What to order by when");
  if (!book) return print_problem(book.problem());
  const std::pair<const char*, std::string> files[] = {
      {"dates.xlsx", *book},
      {"orders-to-place.csv", to_place},
      {"dates.json", dates_json(dated->schedule, dated->works, dated->order, dated->failed)},
      {"dates.html", dates_page(dated->schedule, dated->works, dated->order, dated->failed)}};
  for (const auto& [name, bytes] : files) {
    if (Status added = set->add(name, bytes); !added) return print_problem(added.problem());
  }
  if (tables.back().name == "cases by date") {
    if (Status added = set->add("cases by date.csv", to_csv(tables.back())); !added)
      return print_problem(added.problem());
  }
  for (const Table& table : told) {
    if (Status added = set->add(table.name + ".csv", to_csv(table)); !added)
      return print_problem(added.problem());
  }
  if (const Result<WrittenSet> done = set->commit(); !done) return print_problem(done.problem());
  const ExitCode said = tell_failed(print_summary(dates_text(dated->schedule, dated->works)), dated->failed,
                                    "see lastwright check; order nothing by these figures");
  print_doubts(doubts_text(dated->order));
  for (const Problem& problem : dated->order.bad_rows) print_problem(problem);
  if (const std::string words = without_period_words(dated->schedule); !words.empty()) print_warning(words);
  if (said != ExitCode::kOk) return said;
  const bool late = std::any_of(dated->schedule.orders.begin(), dated->schedule.orders.end(),
                                [](const PlacedOrder& order) { return order.late(); });
  return late || !dated->order.bad_rows.empty() || !dated->schedule.without_period.empty()
             ? ExitCode::kCheckFailed
             : ExitCode::kOk;
}

}  // namespace

void add_dates(Program& app, Action& action) {
  auto command = std::make_shared<DatesCommand>();
  Command* sub = app.add_subcommand("dates",
                                    "Work out what must be ordered by when: the bill of materials period by "
                                    "period, what is late, what has to wait");
  sub->add_option("works", command->files.works,
                  "the works file with the supplies: stock, lead times, multiples")
      ->required();
  sub->add_option(
      "--order", command->files.order,
      "an order with a column \"period\" or \"due\"; without one, what \"needed\" says of each supply");
  sub->add_option("--sheet", command->files.sheet,
                  "sheet of the order's workbook; unless given the only one, or the one called order");
  sub->add_option("-o,--out", command->out, "folder for the tables and the page; it is created")->required();
  sub->add_option("--threads", command->files.threads,
                  "worker threads; 0: one per core. The results do not depend on it");
  sub->add_flag("--force", command->force, "replace an earlier set in the folder");
  add_load_style_options(*sub, command->files.files);
  sub->callback([command, &action] { action = [command] { return run_dates(*command); }; });
}

}  // namespace lastwright
