#include "cli/commands/grade.hpp"

#include <fmt/format.h>

#include <chrono>
#include <memory>

#include "cli/grade_files.hpp"
#include "cli/grade_selection.hpp"
#include "cli/picture_files.hpp"
#include "cli/print.hpp"
#include "cli/report/findings_text.hpp"
#include "cli/style_files.hpp"
#include "cli/style_options.hpp"
#include "grading/grade.hpp"
#include "grading/style_checks.hpp"

namespace lastwright {

namespace {

struct GradeCommand {
  std::string style;
  std::string out;
  LoadStyleOptions files;
  SelectionOptions selection;
  std::string dxf_version = "R2000";
  NestLine nest_line = NestLine::kCut;
  SheetsOf sheets = SheetsOf::kBase;
  unsigned threads = 0;
  bool force = false;
  std::chrono::steady_clock::time_point started = std::chrono::steady_clock::now();
};

std::string summary(const GradeCommand& command, const LoadedStyle& loaded, const StyleGrade& grade, const GradeSelection& selection,
                    const std::vector<StyleFinding>& findings, const GradeFilesWritten& written, const WrittenSet& set) {
  std::string text = fmt::format("{}: {} pieces x {} sizes x {} widths = {} graded pieces\n", loaded.spec.name,
                                 selection.pieces.size(), selection.sizes.size(), selection.widths.size(), written.pieces);
  text += findings_text(findings, false);
  for (const std::string& warning : loaded.notes) text += "  warning: " + warning + "\n";
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - command.started;
  text += fmt::format("  {} warnings; {} files, {:.1f} MB in {:.2f} s; nests for a first look: {}/nests\n", loaded.notes.size(),
                      set.files, static_cast<double>(set.bytes) / 1e6, took.count(), command.out);
  if (!set.left_behind.empty()) text += "  the replaced set could not be removed: " + set.left_behind + "\n";
  (void)grade;
  return text;
}

// The data flow of the README, step by step.
ExitCode run_grade(const GradeCommand& command) {
  const StyleLoad read = load_style(command.style, command.files);
  if (!read.ok()) return print_problems(read.problems);
  const LoadedStyle* loaded = &*read.style;
  const Result<StyleGrade> grade = grade_style(loaded->spec, loaded->measures, loaded->run, loaded->pieces);
  if (!grade) return print_problem(grade.problem().in_file(command.style));
  const Result<GradeSelection> selection = select(*grade, command.selection);
  if (!selection) return print_problem(selection.problem());
  const std::vector<StyleFinding> findings = check_style(loaded->spec, *grade, loaded->measures, {.seam_limit = loaded->spec.seam_limit});

  Result<OutputSet> set = OutputSet::begin(command.out, {.force = command.force, .inputs = loaded->inputs});
  if (!set) return print_problem(set.problem());
  GradeFilesOptions options;
  options.threads = command.threads;
  if (command.dxf_version == "R12") options.dxf.version = DxfVersion::kR12;
  const Result<GradeFilesWritten> written = add_pieces(*grade, *selection, options, *set);
  if (!written) return print_problem(written.problem().in_file(command.style));
  const PictureOptions pictures{command.nest_line, command.sheets, command.threads};
  if (Status nests = add_nests(*grade, *selection, pictures, *set); !nests) return print_problem(nests.problem());
  if (Status sheets = add_sheets(loaded->spec, *grade, *selection, pictures, *set); !sheets) return print_problem(sheets.problem());
  if (Status sheet = add_grade_sheet(*grade, *set); !sheet) return print_problem(sheet.problem());
  const Result<WrittenSet> done = set->commit();
  if (!done) return print_problem(done.problem());

  const ExitCode said = print_result(summary(command, *loaded, *grade, *selection, findings, *written, *done));
  if (said != ExitCode::kOk) return said;
  return all_passed(findings) ? ExitCode::kOk : ExitCode::kCheckFailed;
}

}  // namespace

void add_grade(CLI::App& app, Action& action) {
  auto command = std::make_shared<GradeCommand>();
  CLI::App* sub = app.add_subcommand("grade", "Grade a style: DXF and SVG of every piece, nests and the grade sheet");
  sub->add_option("style", command->style, "the style file")->required();
  sub->add_option("-o,--out", command->out, "folder for the results; made new")->required();
  sub->add_option("--sizes", command->selection.sizes, "only these sizes, e.g. 8,8.5")->delimiter(',');
  sub->add_option("--widths", command->selection.widths, "only these widths")->delimiter(',');
  sub->add_option("--pieces", command->selection.pieces, "only these pieces")->delimiter(',');
  sub->add_option("--dxf", command->dxf_version, "version of the DXF files")->check(CLI::IsMember({"R2000", "R12"}))->capture_default_str();
  sub->add_option("--sheets", command->sheets, "piece sheets for people: none, of the base, or of all sizes and widths")
      ->transform(CLI::CheckedTransformer(std::map<std::string, SheetsOf>{
          {"none", SheetsOf::kNone}, {"base", SheetsOf::kBase}, {"all", SheetsOf::kAll}}))
      ->default_str("base");
  sub->add_option("--nest-line", command->nest_line, "what the nests show: the cut line or the net line")
      ->transform(CLI::CheckedTransformer(std::map<std::string, NestLine>{{"cut", NestLine::kCut}, {"net", NestLine::kNet}}))
      ->default_str("cut");
  sub->add_option("--threads", command->threads, "worker threads; 0: one per core. The results do not depend on it");
  sub->add_flag("--force", command->force, "replace an earlier set of results in the folder");
  add_load_style_options(*sub, command->files);
  sub->callback([command, &action] { action = [command] { return run_grade(*command); }; });
}

}  // namespace lastwright
