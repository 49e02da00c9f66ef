#include "cli/commands/girths.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <optional>

#include "cli/compare_option.hpp"
#include "cli/listing/girth_books.hpp"
#include "cli/listing/listed_names.hpp"
#include "cli/option_problem.hpp"
#include "cli/print.hpp"
#include "cli/reading_plan.hpp"
#include "cli/tables/readings_csv.hpp"
#include "geometry/counted.hpp"
#include "geometry/files/read_file.hpp"
#include "grading/checks/style_checks.hpp"

namespace lastwright {
namespace {

struct GirthsOptions {
  std::string style;
  std::vector<std::string> tables;
  std::vector<std::string> measures;
  int inches = 0;  // 32: fractions to 1/32; 0: decimal
  ComparisonWords comparison;
  std::string readings;
  std::string plan;  // of readings yet to be made
  bool plan_given = false;
  bool sheet = false;  // print the plan's rows to fill in
  FloorSheetOptions floor;
  std::string step;  // that the floor's tape is read to; empty: as usual
  std::vector<std::string> limits;
  std::vector<std::string> pair_limits;
  std::string limits_table;  // empty: common
  double confidence = 0.95;
  std::optional<double> sure;
  std::string format = "text";
  std::vector<std::string> only;  // tables of the result; empty: all
  std::string out;                // empty: standard output
  bool force = false;
};

std::vector<std::string> measure_names(const LoadedStyle& style) {
  std::vector<std::string> names;
  for (const Measure& measure : style.measures.measures()) names.push_back(measure.name);
  return names;
}

Result<ListingBook> table_book(const LoadedStyle& style, const GirthsOptions& options) {
  const GirthBookOptions book_options{options.measures, options.inches};
  const bool rows = options.format == "csv" || options.format == "json";
  Result<ListingBook> book = rows ? girth_rows(style, book_options) : girth_charts(style, book_options);
  if (!book || options.comparison.against.empty()) return book;
  Result<TableComparison> comparison = compared(style, options.comparison);
  if (!comparison) return comparison.problem();
  if (!options.measures.empty()) {
    std::erase_if(comparison->cells, [&](const CellDifference& cell) {
      const std::string& name = style.measures.measures()[cell.measure].name;
      return std::find(options.measures.begin(), options.measures.end(), name) == options.measures.end();
    });
  }
  for (Listing& listing : comparison_listings(style, *comparison))
    book->listings.push_back(std::move(listing));
  return book;
}

BatchOptions batch_options(const LoadedStyle& style, const GirthsOptions& options) {
  BatchOptions batch;
  batch.search.ladder = style.ladder.positions;
  batch.confidence = options.confidence;
  if (options.sure) batch.search.sure = *options.sure;
  return batch;
}

Result<ReadingLimits> asked_limits(const LoadedStyle& style, const GirthsOptions& options) {
  const auto defaults =
      in_option(style.tables.find_limits(options.limits_table.empty() ? "common" : options.limits_table),
                "--limits-table");
  if (!defaults) return defaults.problem();
  std::vector<LimitRequest> asked[2];
  const std::vector<std::string>* texts[2] = {&options.limits, &options.pair_limits};
  for (int kind = 0; kind < 2; ++kind) {
    for (const std::string& text : *texts[kind]) {
      Result<LimitRequest> request = in_option(parse_limit(text), kind == 0 ? "--limit" : "--pair-limit");
      if (!request) return request.problem();
      asked[kind].push_back(*std::move(request));
    }
  }
  return reading_limits(measure_names(style), *defaults, asked[0], asked[1]);
}

OutputOptions output_options(const LoadedStyle& style, const GirthsOptions& options) {
  OutputOptions output{.force = options.force};
  output.inputs = style.inputs;
  if (!options.readings.empty()) output.inputs.push_back(options.readings);
  return output;
}

// Bad rows outrank what the good ones say: the batch is not judged in full until they are put right.
ExitCode judge_readings(const LoadedStyle& style, const GirthsOptions& options) {
  const Result<ReadingLimits> limits = asked_limits(style, options);
  if (!limits) return print_problem(limits.problem());
  const Result<std::string> text = read_file(options.readings);
  if (!text) return print_problem(text.problem());
  Result<ReadingsFile> file = parse_readings(*text, options.readings);
  if (!file) return print_problem(file.problem());
  CheckedReadings checked = check_readings(file->rows, style.measures, style.run);
  std::vector<Problem> bad_rows = std::move(file->bad_rows);
  for (const Problem& problem : checked.bad_rows) bad_rows.push_back(problem.in_file(options.readings));
  std::stable_sort(bad_rows.begin(), bad_rows.end(),
                   [](const Problem& a, const Problem& b) { return a.place.line < b.place.line; });
  if (checked.readings.empty() && bad_rows.empty()) {
    return print_problem({Trouble::kBadValue,
                          "there is no reading under the header: nothing was judged",
                          {options.readings, {}, {}, {}},
                          {},
                          {}});
  }
  const BatchReport report =
      judge_batch(checked.readings, style.measures, style.run, *limits, batch_options(style, options));
  ListingBook judged =
      batch_book(style, report, *limits, bad_rows, file->other_columns, batch_options(style, options));
  if (const std::string none = not_judged(*file, checked); !none.empty()) {
    for (auto& [fact, words] : judged.facts) {
      if (fact == "disposition") words += "; " + none;
    }
  }
  if (const std::string missed = not_read(*file); !missed.empty()) {
    for (auto& [fact, words] : judged.facts) {
      if (fact == "disposition") words += "; " + missed;
    }
  }
  if (!file->left_empty.empty()) {
    judged.facts.emplace_back("rows without a value",
                              fmt::format("{}, passed over", file->left_empty.size()));
  }
  const auto rendered = render(judged, options.format, options.only);
  if (!rendered) return print_problem(rendered.problem());
  const ExitCode put = put_result(*rendered, options.out, output_options(style, options));
  if (put != ExitCode::kOk) return put;
  if (!options.out.empty() && options.out != "-") {  // what the exit code says, in words
    const ExitCode said = print_summary(
        fmt::format("{}: {} judged{}{}\n", options.out, counted(report.readings.size(), "reading"),
                    report.all_good() ? "" : "; FINDINGS, see the file",
                    bad_rows.empty() ? "" : "; " + counted(bad_rows.size(), "row") + " could not be judged"));
    if (said != ExitCode::kOk) return said;
  }
  if (!bad_rows.empty()) return ExitCode::kBadInput;
  return report.all_good() ? ExitCode::kOk : ExitCode::kCheckFailed;
}

// What can be told of the table without its drawings: whether the lines of the formes are as long in the
// sample as it says.
ExitCode judge_base(const LoadedStyle& style) {
  ExitCode code = ExitCode::kOk;
  for (const StyleFinding& finding : check_base(style.spec, style.measures)) {
    if (finding.passed) continue;
    print_warning(fmt::format("CHECK FAILED: {}, {}: {}; see lastwright check", finding.check,
                              finding.subject, finding.note));
    code = ExitCode::kCheckFailed;
  }
  return code;
}

Result<ListingBook> planned_book(const LoadedStyle& style, const GirthsOptions& options) {
  const auto plan = in_option(parse_reading_plan(options.plan, style, options.measures), "--plan");
  if (!plan) return plan.problem();
  if (!options.sheet)
    return plan_book(style, *plan,
                     advise(*plan, style.measures, style.run, batch_options(style, options).search));
  const Result<ReadingLimits> limits = asked_limits(style, options);
  if (!limits) return limits.problem();
  return sheet_book(style, *plan, *limits);
}

bool for_floor(const GirthsOptions& options) {
  return !options.floor.sizes.empty() || !options.floor.widths.empty();
}

Result<ListingBook> floor_sheet(const LoadedStyle& style, const GirthsOptions& options) {
  const Result<ReadingLimits> limits = asked_limits(style, options);
  if (!limits) return limits.problem();
  FloorSheetOptions floor = options.floor;
  floor.boxes = options.format != "csv" && options.format != "json";
  if (options.format == "pdf" || options.format == "html") floor.box.clear();
  if (!options.step.empty()) {
    const Result<Quantity> step = in_option(parse_quantity(options.step), "--step");
    if (!step) return step.problem();
    const double length = step->millimetres.value();
    if (length < 0.01 || length > 20.0)
      return Problem{Trouble::kUsage, "--step is what the tape is read to: 0.01 to 20 mm", {}, {}, {}};
    floor.step = noted_to(length, false);
  }
  return floor_book(style, {options.measures, options.inches}, floor, *limits);
}

// Options that mean nothing without one of several others.
Status check_options(const GirthsOptions& options) {
  const bool limits = !options.readings.empty() || options.sheet || for_floor(options);
  const auto refused = [](const char* what) { return Problem{Trouble::kUsage, what, {}, {}, {}}; };
  if (!options.limits.empty() && !limits)
    return refused("--limit requires --readings, --sheet, --sizes or --widths");
  if (!options.limits_table.empty() && !limits)
    return refused("--limits-table requires --readings, --sheet, --sizes or --widths");
  if (!options.step.empty() && !for_floor(options)) return refused("--step requires --sizes or --widths");
  if (options.plan_given && options.plan.empty()) return refused("--plan is empty: name the sizes to read");
  if (options.sure && options.readings.empty() && (options.plan.empty() || options.sheet))
    return refused("--sure requires --readings or --plan without --sheet");
  return Done{};
}

ExitCode run_girths(GirthsOptions options) {
  if (Status sound = check_options(options); !sound) return print_problem(sound.problem());
  const Checked<LoadedStyle> load =
      load_style(options.style, {.tables = options.tables, .drawings = false, .limits = {}});
  if (!load.ok()) return print_problems(load.problems());
  options.measures = listed_names(options.measures, measure_names(*load));
  if (!options.readings.empty()) return judge_readings(*load, options);
  const bool planned = !options.plan.empty();
  const Result<ListingBook> book = planned              ? planned_book(*load, options)
                                   : for_floor(options) ? floor_sheet(*load, options)
                                                        : table_book(*load, options);
  if (!book) return print_problem(book.problem());
  const Result<std::string> text = render(*book, options.format, options.only);
  if (!text) return print_problem(text.problem());
  const ExitCode put = put_result(*text, options.out, output_options(*load, options));
  return put == ExitCode::kOk && !planned ? judge_base(*load) : put;
}

}  // namespace

void add_girths(Program& app, Action& action) {
  auto options = std::make_shared<GirthsOptions>();
  Command* command =
      app.add_subcommand("girths", "Print the measures of every size and width, and judge tape readings");
  command->add_option("style", options->style, "the style file")->required();
  Option* measure = command->add_option("--measure", options->measures, "only this measure; may be repeated");
  Option* sizes = command
                      ->add_option("--sizes,--size", options->floor.sizes,
                                   "print a sheet for the floor, for these sizes, e.g. 8,8.5: limits beside "
                                   "each value, and boxes for what the tape says")
                      ->delimiter(',');
  Option* widths =
      command->add_option("--widths", options->floor.widths, "the same for these widths")->delimiter(',');
  command->add_option(
      "--step", options->step,
      "what the tape is read to on the floor: the limits of the sheet are of readings noted to "
      "it; 0.5 mm unless given");
  Option* inches = command
                       ->add_option("--inches", options->inches,
                                    "inches as fractions with this denominator, such as 32, with ~ where "
                                    "they are rounded; decimal unless given")
                       ->check(whole_within(1, 128));
  Option* against = add_comparison(command, options->comparison);
  Option* readings =
      command->add_option("--readings", options->readings,
                          "judge the tape readings of this file: text with commas, semicolons or "
                          "tabs, or a workbook (XLSX)");
  for (Option* of_the_table : {measure, inches, against, sizes, widths}) of_the_table->excludes(readings);
  for (Option* of_the_floor : {sizes, widths}) of_the_floor->excludes(against);
  Option* plan = command->add_option("--plan", options->plan,
                                     "what a plan of readings would show: \"sizes 7 8 9, widths E F, pairs "
                                     "2, gauges 2, spread 0.4 mm, step 0.5 mm\"");
  for (Option* other : {inches, against, readings, sizes, widths}) plan->excludes(other);
  command->add_flag("--sheet", options->sheet, "print the plan's rows to fill in, with the limits")
      ->needs(plan);
  inches->excludes(against);  // a comparison is in millimetres
  command->add_option("--limit", options->limits,
                      "how far a reading may deviate from the table: \"ball girth 1 mm\"; may be repeated");

  command
      ->add_option("--pair-limit", options->pair_limits,
                   "how far left may deviate from right: \"ball girth 1 mm\"; may be repeated")
      ->needs(readings);
  command->add_option("--limits-table", options->limits_table,
                      "KEY of the limits table that gives the defaults; common unless given");
  command->add_option("--confidence", options->confidence, "confidence of the intervals")
      ->check(within(0.5, 0.9999))
      ->needs(readings)
      ->capture_default_str();
  command
      ->add_option("--sure", options->sure, "how sure a cause must be before it is named; 0.982 unless given")
      ->check(within(0.5, 0.999999));
  command->add_option(
      "--table", options->tables,
      "a FILE with a scale (sizes), a ladder (widths) or a table of your own; may be repeated");
  command->add_option("--format", options->format, "text, csv, json, html, xlsx or pdf")
      ->capture_default_str();
  command->add_option(
      "--only", options->only,
      "only this table of the result, e.g. findings, or several with commas; may be repeated. One alone as "
      "CSV has no lines but its own");
  command->add_option("--out", options->out, "write to this file instead of standard output");
  command->add_flag("--force", options->force, "replace the file of --out");
  command->callback([options, plan, &action] {
    options->plan_given = plan->count() > 0;
    action = [options] { return run_girths(*options); };
  });
}

}  // namespace lastwright
