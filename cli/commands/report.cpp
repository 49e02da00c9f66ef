#include "cli/commands/report.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <memory>
#include <optional>

#include "cli/print.hpp"
#include "cli/report/report_page.hpp"
#include "cli/sha256.hpp"
#include "cli/style_options.hpp"
#include "cli/write_file.hpp"
#include "geometry/files/read_file.hpp"
#include "grading/checks/judge.hpp"
#include "grading/grade/grade.hpp"
#include "grading/jobs/order_job.hpp"

namespace lastwright {

namespace {

struct ReportCommand {
  std::string style;
  std::string out;
  LoadStyleOptions files;
  std::string rules_file;
  bool no_dies = false;
  unsigned threads = 0;
  bool force = false;
};

Result<std::vector<std::pair<std::string, std::string>>> digests(const std::vector<std::string>& files) {
  std::vector<std::pair<std::string, std::string>> all;
  for (const std::string& file : files) {
    const Result<std::string> bytes = read_file(file);
    if (!bytes) return bytes.problem();
    all.emplace_back(std::filesystem::path(file).filename().string(), to_hex(sha256(*bytes)));
  }
  return all;
}

ExitCode run_report(const ReportCommand& command) {
  const StyleLoad read = load_style(command.style, command.files);
  if (!read.ok()) return print_problems(read.problems);
  const LoadedStyle& loaded = *read.style;
  const Result<DieRules> rules = load_die_rules(command.rules_file, loaded.spec);
  if (!rules) return print_problem(rules.problem());
  std::vector<std::string> inputs = loaded.inputs;
  if (!command.rules_file.empty()) inputs.push_back(command.rules_file);
  const OutputOptions output{.force = command.force, .inputs = inputs};
  if (Status may = may_write_file(command.out, output); !may) return print_problem(may.problem());
  const auto files = digests(inputs);
  if (!files) return print_problem(files.problem());
  const Result<StyleGrade> grade =
      grade_style(loaded.spec, loaded.measures, loaded.run, loaded.pieces, {}, command.threads);
  if (!grade) return print_problem(grade.problem().in_file(command.style));
  const std::vector<StyleFinding> findings =
      judge_style(loaded.spec, *grade, loaded.measures, command.threads).findings;
  const std::vector<PieceOutlines> outlines = run_outlines(*grade, command.threads);

  ReportInput input{loaded, *grade, findings, outlines, nullptr, "left out by --no-dies", false, *files};
  std::optional<Result<PlannedOrder>> order;
  if (!command.no_dies) order = plan_order(loaded, *rules, {}, &findings, command.threads);
  std::optional<ReportDies> dies;
  if (order && order->ok()) {
    dies.emplace(ReportDies{order->value().plan, order->value().order});
    input.dies = &*dies;
  } else if (order) {
    input.no_dies = to_text(order->problem());
    input.dies_failed = true;
  }
  const std::string page = report_page(input);
  const ExitCode put = put_result(page, command.out, output);
  if (put != ExitCode::kOk) return put;
  const bool failed = report_failed(input);
  if (command.out != "-") {  // what the exit code says, in words
    const ExitCode said = print_summary(
        fmt::format("{}: {}\n", command.out, failed ? "CHECKS FAILED, see the page" : "every check passed"));
    if (said != ExitCode::kOk) return said;
  }
  return failed ? ExitCode::kCheckFailed : ExitCode::kOk;
}

}  // namespace

void add_report(Program& app, Action& action) {
  auto command = std::make_shared<ReportCommand>();
  Command* sub =
      app.add_subcommand("report", "One page about a graded run: warnings, nests, measures, checks, dies");
  sub->add_option("style", command->style, "the style file")->required();
  sub->add_option("-o,--out", command->out, "the page to write, an HTML file; - for standard output")
      ->required();
  Option* rules = sub->add_option("--rules", command->rules_file,
                                  "die rules: tolerances, hands, tooling groups, rates and limits");
  sub->add_flag("--no-dies", command->no_dies, "leave the plan of the dies out: it takes the longest")
      ->excludes(rules);
  sub->add_option("--threads", command->threads,
                  "worker threads; 0: one per core. The page does not depend on it");
  sub->add_flag("--force", command->force, "replace an existing page");
  add_load_style_options(*sub, command->files);
  sub->callback([command, &action] { action = [command] { return run_report(*command); }; });
}

}  // namespace lastwright
