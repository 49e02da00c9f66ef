#include "cli/commands/grade.hpp"

#include <fmt/format.h>

#include <chrono>
#include <memory>
#include <optional>

#include "cli/calendar_date.hpp"
#include "cli/drawings/grade_files.hpp"
#include "cli/drawings/picture_files.hpp"
#include "cli/drawings/seam_files.hpp"
#include "cli/drawings/sewn_files.hpp"
#include "cli/option_problem.hpp"
#include "cli/print.hpp"
#include "cli/report/failed_checks.hpp"
#include "cli/report/findings_text.hpp"
#include "cli/report/hands_text.hpp"
#include "cli/style_options.hpp"
#include "cli/tables/csv.hpp"
#include "geometry/counted.hpp"
#include "geometry/parallel.hpp"
#include "grading/checks/judge.hpp"
#include "grading/grade/grade.hpp"
#include "grading/jobs/grade_selection.hpp"
#include "grading/jobs/load_style.hpp"

namespace lastwright {

namespace {

struct GradeCommand {
  std::string style;
  std::string out;
  LoadStyleOptions files;
  SelectionOptions selection;
  std::string dxf_version = "R2000";
  std::string profile = "die";
  std::string pictures = "all";
  std::string sheets = "base";
  std::string nest_line = "cut";
  double sewn_tolerance = 0.1;
  std::string date;
  // What was typed of the options that one profile alone heeds.
  std::vector<std::pair<const char*, const Option*>> of_dies;
  std::vector<std::pair<const char*, const Option*>> of_sewn;
  unsigned threads = 0;
  bool merge_nicks = false;
  bool force = false;
  bool add = false;
  std::unique_ptr<GradeAdditions> additions = nullptr;  // with add, once the folder was read
  std::chrono::steady_clock::time_point started = std::chrono::steady_clock::now();
};

GradeFilesOptions file_options(const GradeCommand& command) {
  GradeFilesOptions options;
  options.sheet.merge_nicks = command.merge_nicks;
  options.threads = command.threads;
  options.pictures = command.pictures == "all";
  if (command.dxf_version == "R12") options.dxf.version = DxfVersion::kR12;
  options.additions = command.additions.get();
  return options;
}

PictureOptions picture_options(const GradeCommand& command) {
  PictureOptions options;
  options.threads = command.threads;
  if (command.nest_line == "net") options.nest_line = NestLine::kNet;
  if (command.sheets == "none") options.sheets = SheetsOf::kNone;
  if (command.sheets == "all") options.sheets = SheetsOf::kAll;
  return options;
}

struct Written {
  StyleLooks looks;  // of every piece in every size and width, selected or not
  std::optional<SewnFilesWritten> sewn;
  std::string nicks;               // what merging them came to
  std::optional<Problem> no_sewn;  // asked for with the other profile, and cannot be made
};

std::string summary(const GradeCommand& command, const LoadedStyle& loaded, const GradeSelection& selection,
                    const JudgedStyle& judged, const Written& written, const WrittenSet& set) {
  const std::size_t cells = selection.cells.size();
  std::string text =
      fmt::format("{}: {} x {} x {}", loaded.spec.name, counted(selection.pieces.size(), "piece"),
                  counted(selection.sizes.size(), "size"), counted(selection.widths.size(), "width"));
  if (cells != selection.sizes.size() * selection.widths.size())
    text += fmt::format(", of which {} are made,", cells);
  text += fmt::format(" = {}\n", counted(selection.pieces.size() * cells, "graded piece"));
  text += findings_text(judged.findings, false) + hands_text(judged.hands);
  text += written.nicks;
  if (command.additions) text += command.additions->text();
  if (written.sewn) text += sewn_text(*written.sewn);
  if (written.no_sewn) text += "  sewn-products profile: NOT WRITTEN, see the problem below\n";
  for (const DrawingAccount& account : loaded.accounts) text += "  " + account_sum(account) + "\n";
  for (const std::string& warning : loaded.notes) text += "  warning: " + warning + "\n";
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - command.started;
  text += fmt::format("  {}; {}, {:.1f} MB in {:.2f} s; for a first look: {}/nests{}\n",
                      counted(loaded.notes.size(), "warning"), counted(set.files, "file"),
                      static_cast<double>(set.bytes) / 1e6, took.count(), command.out,
                      command.sheets == "none" ? "" : " and sheets");
  if (!set.left_behind.empty()) text += "  the replaced set could not be removed: " + set.left_behind + "\n";
  return text;
}

Result<Written> add_profiles(const GradeCommand& command, const StyleSpec& style, const StyleGrade& grade,
                             const GradeSelection& selection, const StyleLooker& looker, OutputSet& set) {
  Result<StyleLooks> looks = command.profile == "sewn"
                                 ? looker.all(command.threads)
                                 : add_pieces(grade, selection, file_options(command), looker, set);
  if (!looks) return looks.problem();
  Written written{*std::move(looks), {}, {}, {}};
  if (command.merge_nicks && command.profile != "sewn") {
    Result<std::string> nicks = merged_nicks_text(grade, selection, command.threads);
    if (!nicks) return nicks.problem();
    written.nicks = *std::move(nicks);
  }
  if (command.profile == "die") return written;
  const Result<SewnFilesWritten> sewn = add_sewn_files(
      style, grade, selection, {Millimetres(command.sewn_tolerance), command.date, command.threads}, set);
  if (sewn) {
    written.sewn = *sewn;
  } else if (command.profile == "both" && sewn.problem().trouble == Trouble::kGeometry) {
    written.no_sewn = sewn.problem();  // the dies do not wait for it
  } else {
    return sewn.problem();
  }
  return written;
}

// What only the other profile heeds would be lost without a word.
Status heeded(const GradeCommand& command) {
  const bool dies = command.profile != "sewn";
  const bool sewn = command.profile != "die";
  for (const auto& [name, option] : command.of_dies) {
    if (!dies && option->count() > 0)
      return without_effect(
          name, "the sewn profile writes no DXF for dies; leave it out, or ask for --profile both");
  }
  for (const auto& [name, option] : command.of_sewn) {
    if (!sewn && option->count() > 0)
      return without_effect(name,
                            "it is of the sewn profile; ask for --profile sewn or both, or leave it out");
  }
  return Done{};
}

// The selection with what the folder holds already.
Result<GradeSelection> add_to_earlier(GradeCommand& command, const StyleGrade& grade,
                                      GradeSelection selection) {
  Result<EarlierSet> earlier = EarlierSet::open(command.out);
  if (!earlier) return earlier.problem();
  command.additions = std::make_unique<GradeAdditions>(*std::move(earlier));
  return command.additions->widened(grade, std::move(selection));
}

Status add_pictures(const GradeCommand& command, const StyleSpec& style, const StyleGrade& grade,
                    const GradeSelection& selection, OutputSet& set) {
  const PictureOptions pictures = picture_options(command);
  if (Status nests = add_nests(grade, selection, pictures, set); !nests) return nests;
  return add_sheets(style, grade, selection, pictures, set);
}

// Two jobs of which neither needs the other; the problem of the first is told first.
template <class First, class Second>
Status side_by_side(unsigned threads, const First& first, const Second& second) {
  return run_jobs(2, threads, [&](std::size_t job) -> Status { return job == 0 ? first() : second(); });
}

// The data flow of the README, step by step.
ExitCode run_grade(GradeCommand& command) {
  if (const Status date = sound_date(command.date); !date) return print_problem(date.problem());
  if (const Status all = heeded(command); !all) return print_problem(all.problem());
  if (command.add && command.force)
    return print_problem(
        {Trouble::kUsage, "--add keeps what is there and --force replaces it: give one of them", {}, {}, {}});
  const Checked<LoadedStyle> read = load_style(command.style, command.files);
  if (!read.ok()) return print_problems(read.problems());
  const LoadedStyle* loaded = &*read;
  const Result<StyleGrade> grade =
      grade_style(loaded->spec, loaded->measures, loaded->run, loaded->pieces, {}, command.threads);
  if (!grade) return print_problem(grade.problem().in_file(command.style));
  Result<GradeSelection> selection = select(*grade, command.selection);
  if (!selection) return print_problem(selection.problem());
  if (command.add) {
    selection = add_to_earlier(command, *grade, *std::move(selection));
    if (!selection) return print_problem(selection.problem());
  }
  Result<OutputSet> set =
      OutputSet::begin(command.out, {.force = command.force || command.add, .inputs = loaded->inputs});
  if (!set) return print_problem(set.problem());
  const StyleLooker looker(loaded->spec, *grade);
  std::optional<Written> written;
  if (Status files = side_by_side(
          command.threads,
          [&]() -> Status {
            Result<Written> profiles = add_profiles(command, loaded->spec, *grade, *selection, looker, *set);
            if (!profiles) return profiles.problem().in_file(command.style);
            written = *std::move(profiles);
            return Done{};
          },
          [&] { return add_grade_sheet(*grade, *set); });
      !files)
    return print_problem(files.problem());
  std::optional<JudgedStyle> judged;
  if (Status seen = side_by_side(
          command.threads, [&] { return add_pictures(command, loaded->spec, *grade, *selection, *set); },
          [&]() -> Status {
            judged =
                judge_style(loaded->spec, *grade, loaded->measures, looker, written->looks, command.threads);
            return Done{};
          });
      !seen)
    return print_problem(seen.problem());
  FailedStyles failed;
  add_failed(failed, loaded->spec.name, judged->findings);
  if (!failed.empty()) {
    if (Status added = set->add(kFailedFile, to_csv(failed_table(failed))); !added)
      return print_problem(added.problem());
  }
  if (Status seams = add_seam_tables(loaded->spec, *grade, *judged, *set); !seams)
    return print_problem(seams.problem());
  if (command.additions) {
    if (Status rest = command.additions->keep_rest(*set); !rest) return print_problem(rest.problem());
  }
  const Result<WrittenSet> done = set->commit();
  if (!done) return print_problem(done.problem());

  const ExitCode said = print_summary(summary(command, *loaded, *selection, *judged, *written, *done));
  if (said != ExitCode::kOk) return said;
  if (written->no_sewn) return print_problem(written->no_sewn->in_file(command.style));
  return tell_failed(said, failed, "see the lines marked FAIL; cut nothing by this set");
}

}  // namespace

void add_grade(Program& app, Action& action) {
  auto command = std::make_shared<GradeCommand>();
  Command* sub =
      app.add_subcommand("grade", "Grade a style: DXF and SVG of every piece, nests and the grade sheet");
  sub->add_option("style", command->style, "the style file")->required();
  sub->add_option("-o,--out", command->out, "folder for the results; it is created")->required();
  sub->add_option("--sizes", command->selection.sizes, "only these sizes, e.g. 8,8.5")->delimiter(',');
  sub->add_option("--widths", command->selection.widths, "only these widths")->delimiter(',');
  sub->add_option("--pieces", command->selection.pieces, "only these pieces")->delimiter(',');
  sub->add_option("--profile", command->profile,
                  "DXF for dies, one file a piece; or for the sewn-products trade (D6673-style), all in one "
                  "file; or both")
      ->check(one_of({"die", "sewn", "both"}))
      ->capture_default_str();
  Option* tolerance =
      sub->add_option("--sewn-tolerance", command->sewn_tolerance,
                      "sewn profile: lines through numbered points stay within this of the outline, mm")
          ->check(within(0.02, 2.0))
          ->capture_default_str();
  Option* date =
      sub->add_option("--date", command->date,
                      "sewn profile: a date to write into the drawing, e.g. 2026-03-31; none unless given");
  Option* dxf = sub->add_option("--dxf", command->dxf_version, "version of the DXF files for dies")
                    ->check(one_of({"R2000", "R12"}))
                    ->capture_default_str();
  Option* pictures =
      sub->add_option("--pictures", command->pictures,
                      "an SVG beside every DXF of a piece, or none: for runs that only machines read")
          ->check(one_of({"none", "all"}))
          ->capture_default_str();
  sub->add_option("--sheets", command->sheets,
                  "piece sheets for people: none, of the base, or of all sizes and widths")
      ->check(one_of({"none", "base", "all"}))
      ->capture_default_str();
  sub->add_option("--nest-line", command->nest_line, "what the nests show: the cut line or the net line")
      ->check(one_of({"cut", "net"}))
      ->capture_default_str();
  sub->add_option("--threads", command->threads,
                  "worker threads; 0: one per core. The results do not depend on it");
  Option* merge =
      sub->add_flag("--merge-nicks", command->merge_nicks,
                    "draw nicks with a mouth as part of the cut line instead of on a layer of their own");
  command->of_dies = {{"--dxf", dxf}, {"--pictures", pictures}, {"--merge-nicks", merge}};
  command->of_sewn = {{"--sewn-tolerance", tolerance}, {"--date", date}};
  sub->add_flag("--force", command->force, "replace an earlier set of results in the folder");
  sub->add_flag(
      "--add", command->add,
      "add to the set in the folder, for sizes that are approved one after the other: drawings that "
      "are there stay as they are, and are refused where the style now gives them differently");
  add_load_style_options(*sub, command->files);
  sub->callback([command, &action] { action = [command] { return run_grade(*command); }; });
}

}  // namespace lastwright
