#include "cli/commands/plot.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "cli/drawings/left_out.hpp"
#include "cli/drawings/plot_pdf.hpp"
#include "cli/files/write_file.hpp"
#include "cli/option_problem.hpp"
#include "cli/print.hpp"
#include "cli/progress.hpp"
#include "cli/report/failed_checks.hpp"
#include "cli/style_options.hpp"
#include "geometry/counted.hpp"
#include "grading/jobs/load_style.hpp"

namespace lastwright {

namespace {

struct PlotCommand {
  std::string style;
  std::string out;
  LoadStyleOptions files;
  SelectionOptions selection;  // sizes and widths: the base unless given; "all": the whole run
  std::string paper = "A4";
  unsigned threads = 0;
  bool together = false;
  bool force = false;
};

Result<std::vector<std::string>> asked(const std::vector<std::string>& labels, const std::string& base,
                                       const char* option) {
  if (labels.empty()) return std::vector<std::string>{base};
  if (std::find(labels.begin(), labels.end(), "all") == labels.end()) return labels;
  if (labels.size() == 1) return std::vector<std::string>{};
  return in_option(
      Problem{Trouble::kUsage, "all stands alone: with it the others would have no effect", {}, {}, {}},
      option);
}

ExitCode run_plot(const PlotCommand& command) {
  const Result<Paper> paper = in_option(paper_named(command.paper), "--paper");
  if (!paper) return print_problem(paper.problem());
  const Checked<LoadedStyle> read = load_style(command.style, command.files);
  if (!read.ok()) return print_problems(read.problems());
  const LoadedStyle& loaded = *read;
  tell_left_out(loaded);
  const auto sizes = asked(command.selection.sizes, loaded.run.base.size.label, "--sizes");
  if (!sizes) return print_problem(sizes.problem());
  const auto widths = asked(command.selection.widths, loaded.run.base.width.label, "--widths");
  if (!widths) return print_problem(widths.problem());
  const Result<StyleGrade> grade =
      grade_style(loaded.spec, loaded.measures, loaded.run, loaded.pieces, {}, command.threads);
  if (!grade) return print_problem(grade.problem().in_file(command.style));
  const Result<GradeSelection> selection =
      select(*grade, {.sizes = *sizes, .widths = *widths, .pieces = command.selection.pieces});
  if (!selection) return print_problem(selection.problem());
  FailedStyles failed;
  add_judged(failed, loaded.spec.name, loaded, *grade, command.threads);
  const std::string title =
      failed.empty() ? loaded.spec.name : "CHECKS FAILED, cut nothing by this: " + loaded.spec.name;
  Result<PlottedPdf> pdf = PlottedPdf{};
  {
    Progress progress("drawing", selection->pieces.size() * selection->cells.size());
    pdf = plot_pdf(*grade, *selection, {.paper = *paper, .title = title}, command.threads, command.together,
                   [&](std::size_t count) { progress.advance(count); });
  }
  if (!pdf) return print_problem(pdf.problem());
  const Status written =
      write_file_whole(command.out, pdf->bytes, {.force = command.force, .inputs = loaded.inputs});
  if (!written) return print_problem(written.problem());
  if (command.out != "-") {
    const ExitCode said = print_summary(fmt::format(
        "{}: {} on {} of {}. Print at 100 %, without fitting to the page, and measure the "
        "check square (or its corner marks) on the first page before you cut: 100 mm both ways\n",
        command.out, counted(pdf->drawings, "drawing"), counted(pdf->pages, "page"), paper->name));
    if (said != ExitCode::kOk) return said;
    if (pdf->roll > 0.0) {
      const ExitCode more =
          print_summary(fmt::format("  {:.2f} m of the roll; in rows, none of them turned, {:.2f} m. With a "
                                    "grain line they lie as they are "
                                    "or turned half round\n",
                                    pdf->roll / 1000.0, pdf->in_rows / 1000.0));
      if (more != ExitCode::kOk) return more;
    }
  }
  if (!pdf->without_material.empty())
    print_warning(fmt::format("no material is stated for {}; other pieces of the style have one",
                              fmt::join(pdf->without_material, ", ")));
  return tell_failed(ExitCode::kOk, failed, "see lastwright check; cut nothing by this plot");
}

}  // namespace

void add_plot(Program& app, Action& action) {
  auto command = std::make_shared<PlotCommand>();
  Command* sub =
      app.add_subcommand("plot", "Plot pieces at true scale: one PDF, tiled over as many sheets as it needs");
  sub->add_option("style", command->style, "the style file")->required();
  sub->add_option("-o,--out", command->out, "the PDF; - for standard output")->required();
  sub->add_option("--paper", command->paper,
                  "A4, A3, A2, A1, A0, Letter, Tabloid or \"roll 900\" (its width in mm)")
      ->capture_default_str();
  sub->add_flag(
      "--together", command->together,
      "let drawings smaller than a page share pages, side by side in rows; one without a grain line "
      "may be turned by a quarter. On a roll they always do, in their true shapes where that is "
      "shorter, turned half round or, without a grain line, by quarters");
  add_selection_options(*sub, command->selection, "these sizes, e.g. 8,8.5, or all; the base unless given",
                        "these widths, or all; the base unless given");
  sub->add_option("--threads", command->threads,
                  "worker threads; 0: one per core. The results do not depend on it");
  sub->add_flag("--force", command->force, "replace the PDF if it exists");
  sub->add_option("--table", command->files.tables,
                  "a FILE with a scale (sizes), a ladder (widths) or a table of your own; may be repeated");
  sub->callback([command, &action] { action = [command] { return run_plot(*command); }; });
}

}  // namespace lastwright
