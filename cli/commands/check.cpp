#include "cli/commands/check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "cli/compare_option.hpp"
#include "cli/listing/girth_books.hpp"
#include "cli/option_problem.hpp"
#include "cli/print.hpp"
#include "cli/report/findings_text.hpp"
#include "cli/report/hands_text.hpp"
#include "cli/style_options.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/safe_text.hpp"
#include "grading/jobs/check_job.hpp"
#include "grading/jobs/style_files.hpp"

namespace lastwright {

namespace {

struct CheckCommand {
  std::string style;
  LoadStyleOptions files;
  PartLabels part;
  ComparisonWords comparison;
  bool all = false;
  bool list_files = false;
  bool nul = false;
  unsigned threads = 0;
};

ExitCode list_files(const CheckCommand& command) {
  const Result<std::vector<std::string>> files = style_files(command.style, command.files.tables);
  if (!files) return print_problem(files.problem());
  std::string text;
  for (const std::string& file : *files) text += command.nul ? file + '\0' : safe_text(file) + "\n";
  return print_result(text);
}

ExitCode run_check(const CheckCommand& command) {
  if (command.list_files) return list_files(command);
  if (command.nul) return print_problem(without_effect("--nul", "it says how --list-files ends a name"));
  Checked<LoadedStyle> read = load_style(command.style, command.files);
  if (!read.ok()) return print_problems(read.problems());
  LoadedStyle* loaded = &*read;
  const Result<std::string> part = keep_part(*loaded, command.part);
  if (!part) return print_problem(part.problem().in_file(command.style));
  // A table that cannot be compared with is refused before anything is reckoned.
  std::string compared_text;
  if (!command.comparison.against.empty()) {
    const Result<TableComparison> comparison = compared(*loaded, command.comparison);
    if (!comparison) return print_problem(comparison.problem());
    compared_text = "\n" + to_text(ListingBook{"", {}, comparison_listings(*loaded, *comparison)}) + "\n";
  }
  const Result<CheckedStyle> checked = check_loaded(*loaded, command.all, command.threads);
  if (!checked) return print_problem(checked.problem().in_file(command.style));
  const auto& [grade, found] = *checked;
  const auto& [findings, hands] = found;
  std::string text =
      fmt::format("{}: {}, {}, {}", loaded->spec.name, counted(grade.pieces.size(), "piece"),
                  counted(grade.run.sizes.size(), "size"), counted(grade.run.widths.size(), "width"));
  text += grade.run.whole() ? "\n" : fmt::format(": {} of them made\n", grade.run.count());
  if (!part->empty()) text += "  " + *part + "; of the others nothing is said\n";
  text += findings_text(findings, command.all);
  text += hands_text(hands);
  for (const DrawingAccount& account : loaded->accounts) {
    text += "  " + account_sum(account) + "\n";
    if (!command.all) continue;
    for (const auto& [piece, count] : account.used)
      text += fmt::format("    used by {}: {}\n", piece.empty() ? "points of the formes" : piece, count);
  }
  for (const std::string& warning : loaded->notes) text += "  warning: " + warning + "\n";
  text += compared_text;
  const bool looks =
      std::any_of(findings.begin(), findings.end(), [](const StyleFinding& one) { return one.doubtful; });
  const bool refused = none_can_be_made(findings);
  text += refused ? "  CANNOT BE MADE: grade and dies refuse this style, see the lines marked FAIL\n"
          : !all_passed(findings) ? "  CHECKS FAILED: see the lines marked FAIL\n"
          : looks                 ? "  every check passed; see the lines marked LOOK\n"
                                  : "  every check passed\n";
  const ExitCode said = print_summary(text);
  if (said != ExitCode::kOk) return said;
  if (refused) return ExitCode::kCannotGrade;
  return all_passed(findings) ? ExitCode::kOk : ExitCode::kCheckFailed;
}

}  // namespace

void add_check(Program& app, Action& action) {
  auto command = std::make_shared<CheckCommand>();
  Command* sub =
      app.add_subcommand("check", "Check a style in every size and width without writing anything");
  sub->add_option("style", command->style, "the style file")->required();
  add_part_options(*sub, command->part);
  add_comparison(sub, command->comparison);
  sub->add_flag("--all", command->all,
                "tell every piece, line and seam, not only the worst of each kind, and of every rule what it "
                "moves beyond its own surroundings");
  sub->add_flag(
      "--list-files", command->list_files,
      "only list the files that the style is read from, one a line: itself, its tables, its drawings and "
      "the rules of its lasts");
  sub->add_flag(
      "--nul", command->nul,
      "with --list-files: for scripts, each name as it is and ended by a zero byte; without it a name "
      "is made fit to be read, and one with a line end or a control character is not the file's own");
  sub->add_option("--threads", command->threads,
                  "worker threads; 0: one per core. The results do not depend on it");
  add_load_style_options(*sub, command->files);
  sub->callback([command, &action] { action = [command] { return run_check(*command); }; });
}

}  // namespace lastwright
