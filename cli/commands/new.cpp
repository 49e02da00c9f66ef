#include "cli/commands/new.hpp"

#include <fmt/format.h>

#include <memory>
#include <numeric>
#include <string>
#include <vector>

#include "cli/drawings/draft_files.hpp"
#include "cli/files/write_file.hpp"
#include "cli/print.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/safe_text.hpp"
#include "grading/jobs/check_job.hpp"
#include "grading/jobs/load_style.hpp"
#include "grading/json/schema_outline.hpp"
#include "grading/style/style_json.hpp"
#include "grading/style/style_schema.hpp"

namespace lastwright {

namespace {

struct NewCommand {
  DraftCommand draft;
  bool explain = false;  // print the keys of a style file instead
};

std::string summary(const Draft& draft, const std::string& out) {
  const auto& pieces = draft.style.pieces;
  const std::size_t edges =
      std::accumulate(pieces.begin(), pieces.end(), std::size_t{0},
                      [](std::size_t sum, const PieceSpec& piece) { return sum + piece.edges.size(); });
  std::string text =
      fmt::format("{}: {}, {}, {}, {}. Guessed, please confirm:\n", out, counted(pieces.size(), "piece"),
                  counted(edges, "edge"), counted(draft.style.formes.size(), "forme"),
                  counted(draft.style.seams.size(), "seam"));
  for (const std::string& guess : draft.guesses) text += "  - " + safe_text(guess) + "\n";
  text += proposals_text(draft.style);
  for (const DrawingAccount& account : draft.accounts) text += account_sum(account) + "\n";
  if (!draft.lost.empty())
    text += fmt::format(
        "{} NOT IN THE DRAFT: see the lines marked so\n",
        draft.lost.size() == 1 ? "ONE THING IS" : fmt::format("{} THINGS ARE", draft.lost.size()));
  if (!draft.problems.empty())
    text += "THE DRAFT DOES NOT LOAD until the faults of the drawing named above are mended\n";
  return text +
         "The same list is in the draft, under \"proposed\"; lastwright new --explain says what each key "
         "means.\n";
}

// What the whole draft stands on, where a wrong answer is in every piece of it, and what grades otherwise
// than whoever drew it may think.
bool told_at_once(const StyleFinding& finding) {
  return finding.doubtful && (finding.check == "base size" || finding.check == "nothing lasted" ||
                              finding.check == "hole pitch" || finding.check == "drawn net");
}

// The draft as it was written, checked as `check` does it. Its failures are told, not hidden behind a 0.
ExitCode check_draft(const std::string& out, const std::string& text) {
  const Checked<LoadedStyle> load = load_style_text(out, text);
  if (!load.ok()) return print_problems(load.problems());
  const Result<CheckedStyle> checked = check_loaded(*load, false, 0);
  if (!checked) return print_problem(checked.problem());
  std::size_t failed = 0;
  for (const StyleFinding& finding : checked->found.findings) {
    if (told_at_once(finding))
      print_warning(fmt::format("look: {}, {}, {:.{}f} {}: {}", finding.check, finding.subject, finding.worst,
                                finding.unit == "mm" ? 2 : 0, finding.unit, finding.note));
    if (finding.passed) continue;
    ++failed;
    print_warning(fmt::format("fails: {}, {}: {:.3f} {}{}", finding.check, finding.subject, finding.worst,
                              finding.unit, finding.where.empty() ? "" : ", " + to_text(finding.where)));
  }
  if (failed == 0) return ExitCode::kOk;
  print_warning(fmt::format("{} of the draft's checks {}; lastwright check {} lists all of them", failed,
                            failed == 1 ? "fails" : "fail", out));
  return ExitCode::kCheckFailed;
}

// 1 where an outline did not come through or a check of the draft fails, and the code of its problem where
// the draft does not load yet.
ExitCode run_new(const NewCommand& command) {
  if (command.explain) return print_result(schema_outline(style_schema()));
  const DraftCommand& options = command.draft;
  if (options.drawings.empty())
    return print_problem({Trouble::kUsage, "name a drawing, or --explain", {}, {}, {}});
  const std::string out = draft_file(options);
  const Result<Draft> made = draft_from_files(options, out);
  if (!made) return print_problem(made.problem());
  const std::string text = write_style(made->style);
  // What is handed over has been read back: a draft that does not load would be no help.
  for (const std::string& warning : made->warnings) print_warning(warning);
  for (const std::string& lost : made->lost) print_warning("not in the draft: " + lost);
  const ExitCode said = made->problems.empty() ? ExitCode::kOk : print_problems(made->problems);
  if (const StyleRead again = read_style(text, out); !again.ok()) {
    print_warning(
        "nothing is written: what these drawings give does not load as a style; the place named is "
        "one of the text that is not written");
    return print_problems(again.problems);
  }
  if (out == "-" && !made->own_ladder.empty()) {
    return print_problem({Trouble::kUsage,
                          "these widths need a table of their own beside the draft: name a file with --out, "
                          "or a ladder that has them with --ladder or --table",
                          {},
                          {},
                          {}});
  }
  if (out != "-") {
    const OutputOptions writing{.force = options.force, .inputs = options.drawings};
    if (const Status free = may_write_file(out, writing); !free) return print_problem(free.problem());
  }
  // Checked before it is written, so that a drawing that can no longer be read leaves everything as it was;
  // only a table of its own has to be there first.
  const bool loads = said == ExitCode::kOk;
  ExitCode checked = loads && made->own_ladder.empty() ? check_draft(out, text) : ExitCode::kOk;
  if (checked == ExitCode::kFileSystem) return checked;
  if (out == "-") {
    if (const ExitCode put = print_result(text); put != ExitCode::kOk) return put;
  } else {
    const Status written = write_draft_files(text, *made, out, options.force, options.drawings);
    if (!written) return print_problem(written.problem());
    if (const ExitCode put = print_summary(summary(*made, out)); put != ExitCode::kOk) return put;
  }
  if (!loads) return said;
  if (!made->own_ladder.empty()) checked = check_draft(out, text);
  if (checked != ExitCode::kOk) return checked;
  return made->lost.empty() ? ExitCode::kOk : ExitCode::kCheckFailed;
}

}  // namespace

void add_new(Program& app, Action& action) {
  auto options = std::make_shared<NewCommand>();
  Command* command = app.add_subcommand(
      "new", "Write a first style file from drawings, or explain the keys of a style file");
  Option* drawing = command->add_option("drawings", options->draft.drawings,
                                        "the DXF drawings: upper, bottom, small parts");
  const DraftOptionsAdded added = add_draft_options(*command, options->draft);
  Option* explain =
      command->add_flag("--explain", options->explain, "print every key of a style file and what it means");
  explain->excludes(drawing);
  for (const Option* one : added.reading) explain->excludes(one);
  for (const Option* one : added.drafting) explain->excludes(one);
  command->callback([options, &action] { action = [options] { return run_new(*options); }; });
}

}  // namespace lastwright
