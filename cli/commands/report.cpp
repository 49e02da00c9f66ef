#include "cli/commands/report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <optional>

#include "cli/files/file_digests.hpp"
#include "cli/files/order_folder.hpp"
#include "cli/files/write_file.hpp"
#include "cli/planning/plan_section.hpp"
#include "cli/planning/stale_dies.hpp"
#include "cli/planning/style_doubts.hpp"
#include "cli/planning/works_doubts.hpp"
#include "cli/print.hpp"
#include "cli/progress.hpp"
#include "cli/report/report_page.hpp"
#include "cli/style_options.hpp"
#include "geometry/files/read_file.hpp"
#include "grading/checks/judge.hpp"
#include "grading/dies/order/die_order_read.hpp"
#include "grading/grade/grade.hpp"
#include "grading/planning/ticket_dies.hpp"

namespace lastwright {

namespace {

struct ReportCommand {
  std::string style;
  std::string out;
  LoadStyleOptions files;
  PartLabels part;
  std::string order;  // its die-order.json; empty: none
  std::string lasts;  // folder of a set of lasts; empty: none
  std::string date;
  std::string pairs;  // an order of pairs, with works
  std::string works;
  std::string sheet;
  std::string json;  // of the order of pairs; empty: none
  unsigned threads = 0;
  bool force = false;
};

// The order that was put, not one that is planned anew: a number means one die.
// `text`: of its file.
Result<std::optional<ReadOrder>> order_of(const ReportCommand& command, const std::string& text,
                                          const LoadedStyle& loaded) {
  if (command.order.empty()) return std::optional<ReadOrder>();
  Result<ReadOrder> order = read_order_again(text, command.order, loaded.spec, loaded.run);
  if (!order) return order.problem();
  return std::optional<ReadOrder>(*std::move(order));
}

bool same_name(const std::string& one, const std::string& other) {
  const auto plain = [](const std::string& name) {
    return std::filesystem::absolute(name).lexically_normal();
  };
  return plain(one) == plain(other);
}

// Whether page and JSON may be written, and are two.
Status may_write(const ReportCommand& command, const OutputOptions& output) {
  if (Status may = may_write_file(command.out, output); !may) return may;
  if (command.json.empty()) return Done{};
  if (same_name(command.json, command.out))
    return bad_value("--json and --out name the same file: " + command.json);
  return may_write_file(command.json, output);
}

// Page and JSON as one set; what goes to standard output comes last.
ExitCode put_both(const ReportCommand& command, const std::string& page, const std::string& json,
                  const OutputOptions& output) {
  std::vector<WholeFile> files;
  std::string shown;
  const auto add = [&](const std::string& path, const std::string& bytes) {
    if (path == "-") {
      shown += bytes;
    } else if (!path.empty()) {
      files.push_back({path, bytes});
    }
  };
  add(command.out, page);
  add(command.json, json);
  if (!files.empty()) {
    if (const Status written = write_files_whole(files, output); !written)
      return print_problem(written.problem());
  }
  return shown.empty() ? ExitCode::kOk : print_result(shown);
}

// What the order's figures say of the reported style, and the dies of its die order, whose text is given.
Result<PlanExtras> extras_of(const ReportCommand& command, const LoadedStyle& loaded,
                             const std::string& die_order, const LoadedOrder& order) {
  PlanExtras extras;
  extras.doubts = style_doubts(command.style, loaded, order);
  const std::optional<std::size_t> reported = order.graded_from(command.style);
  if (command.order.empty() || !reported) return extras;
  Result<DieOrderDies> read = read_order_dies(die_order, command.order);
  if (!read) return read.problem();
  Result<std::vector<DieDoubt>> stale = stale_dies(order, read->style, read->made_from);
  if (!stale) return stale.problem();
  extras.dies = std::move(read->numbers);
  extras.stale = *std::move(stale);
  return extras;
}

// Nothing without an order of pairs.
Result<PlanSection> plan_of(const ReportCommand& command, const LoadedStyle& loaded,
                            const std::string& die_order, const LoadedOrder* order) {
  if (order == nullptr) return PlanSection{};
  const Result<PlanExtras> extras = extras_of(command, loaded, die_order, *order);
  if (!extras) return extras.problem();
  Progress progress("laying", outlines_of(order->order, order->styles));
  return plan_section(*order, *extras, command.threads, [&](std::size_t count) { progress.advance(count); });
}

// Graded and judged, here or with the order.
struct JudgedGrade {
  std::optional<StyleGrade> own;
  const StyleGrade* grade = nullptr;
  std::vector<StyleFinding> findings;
};

// A style that is ordered was graded and judged with the order.
Status judge_once(const ReportCommand& command, const LoadedStyle& loaded, const LoadedOrder* order,
                  JudgedGrade& judged) {
  const bool whole = command.part.sizes.empty() && command.part.widths.empty();
  const std::optional<std::size_t> known =
      order != nullptr && whole ? order->graded_from(command.style) : std::nullopt;
  if (known) {
    judged.grade = order->grades[*known].get();
    judged.findings = order->findings[*known];
    return Done{};
  }
  Result<StyleGrade> made =
      grade_style(loaded.spec, loaded.measures, loaded.run, loaded.pieces, {}, command.threads);
  if (!made) return made.problem().in_file(command.style);
  judged.own = *std::move(made);
  judged.grade = &*judged.own;
  judged.findings = judge_style(loaded.spec, *judged.own, loaded.measures, command.threads).findings;
  return Done{};
}

ExitCode run_report(const ReportCommand& command) {
  Checked<LoadedStyle> read = load_style(command.style, command.files);
  if (!read.ok()) return print_problems(read.problems());
  const Result<std::string> part = keep_part(*read, command.part);
  if (!part) return print_problem(part.problem().in_file(command.style));
  const LoadedStyle& loaded = *read;
  std::vector<std::string> inputs = loaded.inputs;
  const auto files = file_digests(inputs);
  if (!files) return print_problem(files.problem());
  for (const std::string* file : {&command.order, &command.pairs, &command.works}) {
    if (!file->empty()) inputs.push_back(*file);
  }
  OutputOptions output{.force = command.force, .inputs = inputs};
  if (Status may = may_write(command, output); !may) return print_problem(may.problem());
  std::optional<LoadedOrder> pairs;
  if (!command.pairs.empty()) {
    Checked<LoadedOrder> load =
        load_order({command.pairs, command.sheet, command.works, "", command.files, command.threads});
    if (!load) return print_problems(load.problems());
    pairs = *std::move(load);
    // The styles and the drawings of hides that the works file names are inputs too.
    output.inputs.insert(output.inputs.end(), pairs->inputs.begin(), pairs->inputs.end());
    if (Status may = may_write(command, output); !may) return print_problem(may.problem());
  }
  constexpr std::size_t kMostOrderBytes = std::size_t{16} << 20;
  const Result<std::string> die_order =
      command.order.empty() ? Result<std::string>(std::string()) : read_file(command.order, kMostOrderBytes);
  if (!die_order) return print_problem(die_order.problem());
  const Result<std::optional<ReadOrder>> order = order_of(command, *die_order, loaded);
  if (!order) return print_problem(order.problem());
  const Result<PlanSection> plan = plan_of(command, loaded, *die_order, pairs ? &*pairs : nullptr);
  if (!plan) return print_problem(plan.problem());
  std::optional<ReportLasts> lasts;
  FileDigests read_files = *files;
  if (!command.lasts.empty()) {
    Result<ReportLasts> shown = report_lasts(command.lasts, loaded);
    if (!shown) return print_problem(shown.problem());
    output.inputs.insert(output.inputs.end(), shown->files.begin(), shown->files.end());
    if (Status may = may_write(command, output); !may) return print_problem(may.problem());
    const auto digests = file_digests(shown->files);
    if (!digests) return print_problem(digests.problem());
    read_files.insert(read_files.end(), digests->begin(), digests->end());
    lasts = *std::move(shown);
  }
  JudgedGrade judged;
  if (Status done = judge_once(command, loaded, pairs ? &*pairs : nullptr, judged); !done)
    return print_problem(done.problem());
  const std::vector<PieceOutlines> outlines = run_outlines(*judged.grade, command.threads);

  ReportInput input{loaded, *judged.grade, judged.findings, outlines, nullptr,
                    {},     read_files,    command.date,    nullptr,  plan->html};
  input.part = *part;
  if (lasts) input.lasts = &*lasts;
  std::optional<ReportDies> dies;
  if (*order) {
    dies.emplace(ReportDies{(*order)->plan, (*order)->order});
    input.dies = &*dies;
    input.order_stale = order_is_stale((*order)->order.made_from, *files);
    OrderFolder folder = look_at_order(command.order, OrderFiles::kAll);
    for (const OrderFault& fault : folder.faults)
      input.order_faults.push_back("of the die order: " + fault.name + ": " + fault.what);
    input.order_unknown = std::move(folder.unknown);
  }
  const std::string page = report_page(input);
  const ExitCode put = put_both(command, page, plan->json, output);
  if (put != ExitCode::kOk) return put;
  const bool failed = report_failed(input);
  if (command.out != "-" && command.json != "-") {  // what the exit code says, in words
    std::string text = fmt::format("{}: {}\n", command.out, may_begin(input));
    if (!plan->text.empty()) text += "  " + plan->text + "\n";
    const ExitCode said = print_summary(text);
    if (said != ExitCode::kOk) return said;
  }
  print_doubts(plan->doubts);
  return failed || plan->failed ? ExitCode::kCheckFailed : ExitCode::kOk;
}

}  // namespace

void add_report(Program& app, Action& action) {
  auto command = std::make_shared<ReportCommand>();
  Command* sub = app.add_subcommand(
      "report", "Write one page about a graded run: warnings, nests, measures, checks, dies");
  sub->add_option("style", command->style, "the style file")->required();
  sub->add_option("-o,--out", command->out, "the page to write, an HTML file; - for standard output")
      ->required();
  add_part_options(*sub, command->part);
  sub->add_option(
      "--order", command->order,
      "folder of the die order (lastwright dies) that the page is to show; without it there are no dies");
  sub->add_option(
      "--lasts", command->lasts,
      "folder of the graded lasts (lastwright last grade) that the page is to show: side view, plan "
      "and sections of each, and its measures beside what the style asks now");
  Option* works = sub->add_option("--works", command->works,
                                  "the works file of an order of pairs; see lastwright needs --help");
  Option* pairs =
      sub->add_option(
             "--pairs", command->pairs,
             "an order of pairs (CSV or XLSX): what it takes, its cases and what must be ordered by when "
             "then stand on the page too; exit code 1 where rows are left out or a supply is late")
          ->needs(works);
  works->needs(pairs);
  sub->add_option("--sheet", command->sheet,
                  "sheet of the order's workbook; unless given the only one, or the one called order")
      ->needs(pairs);
  sub->add_option("--json", command->json,
                  "a file for what the page says of the order of pairs, as JSON: each figure with the data "
                  "of yours that it rests on")
      ->needs(pairs);
  sub->add_option("--date", command->date, "date of the report, as you write it; the program reads no clock");
  sub->add_option("--threads", command->threads,
                  "worker threads; 0: one per core. The page does not depend on it");
  sub->add_flag("--force", command->force, "replace an existing page");
  add_load_style_options(*sub, command->files);
  sub->callback([command, &action] {
    action = [command] {
      if (!command->order.empty() && !command->order.ends_with(".json")) command->order += "/die-order.json";
      return run_report(*command);
    };
  });
}

}  // namespace lastwright
