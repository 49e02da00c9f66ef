#include "cli/commands/cut.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <memory>
#include <set>

#include "cli/drawings/left_out.hpp"
#include "cli/files/output_set.hpp"
#include "cli/files/safe_name.hpp"
#include "cli/option_problem.hpp"
#include "cli/planning/cut_beds.hpp"
#include "cli/planning/cut_report.hpp"
#include "cli/planning/load_works.hpp"
#include "cli/print.hpp"
#include "cli/progress.hpp"
#include "cli/report/failed_checks.hpp"
#include "cli/style_options.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/cutter_write.hpp"
#include "geometry/io/drawing_style.hpp"
#include "geometry/io/dxf/dxf_write.hpp"
#include "geometry/io/paper/sheet_place.hpp"
#include "geometry/io/paper/sheet_prepare.hpp"
#include "geometry/tolerance.hpp"
#include "grading/checks/lasting/feet_told.hpp"
#include "grading/jobs/grade_selection.hpp"
#include "grading/planning/piece_layout.hpp"

namespace lastwright {

namespace {

struct CutCommand {
  std::string style;
  std::string out;
  LoadStyleOptions files;
  SelectionOptions selection;
  std::string form = "hpgl";
  std::vector<std::string> work{"cut", "cut-out", "hole", "nick", "prick"};
  double chord = 0.05;
  double roll = 0.0;
  std::string works;
  std::vector<std::string> sheet;
  double gap = 5.0;
  int pairs = 0;
  bool as_drawn = false;
  GcodeOptions gcode;
  std::string dxf_version = "R2000";
  unsigned threads = 0;
  bool force = false;
};

Result<std::vector<Operation>> operations_of(const CutCommand& command) {
  std::vector<Operation> operations;
  std::string known;
  for (const Operation operation : cutting_order())
    known += std::string(known.empty() ? "" : ", ") + style_of(operation).key;
  for (const std::string& name : command.work) {
    if (name == "all") return cutting_order();
    const auto& order = cutting_order();
    const auto found =
        std::find_if(order.begin(), order.end(), [&](Operation one) { return name == style_of(one).key; });
    if (found == order.end())
      return in_option(bad_value(fmt::format("there is no operation \"{}\"; there are all, {}", name, known)),
                       "--work");
    operations.push_back(*found);
  }
  return operations;
}

struct CutLayout {
  PieceLayoutOptions options;
  std::set<std::string> ready_cut;  // materials that are bought so
};

Result<CutLayout> layout_options(const CutCommand& command, const WorksSpec& works) {
  CutLayout layout;
  PieceLayoutOptions& options = layout.options;
  options.gap = command.gap;
  options.grain = !command.as_drawn;
  options.threads = command.threads;
  options.by_material = command.pairs > 0;
  const Result<PieceBed> bed = bed_of({command.roll, command.sheet, !command.works.empty()});
  if (!bed) return bed.problem();
  options.bed = *bed;
  if (command.works.empty()) return layout;
  if (command.pairs == 0)
    return without_effect("--works",
                          "without --pairs all materials lie together; give --pairs or leave it out");
  options.beds = beds_of(works);
  for (const auto& [name, material] : works.materials) {
    if (material.gap_stated) options.gaps[name] = material.lay.gap;
  }
  layout.ready_cut = ready_cut_of(works);
  return layout;
}

Sheet only(const Sheet& sheet, const std::vector<Operation>& asked) {
  Sheet to = sheet;
  const auto drop = [&](auto& list) {
    std::erase_if(list, [&](const auto& one) {
      return one.operation != Operation::kText &&
             std::find(asked.begin(), asked.end(), one.operation) == asked.end();
    });
  };
  drop(to.outlines);
  drop(to.lines);
  drop(to.holes);
  return to;
}

// "roll 1", and, where each material has files of its own, "calf roll 1". Only a DXF carries words: of the
// others the name says that checks failed.
std::vector<std::string> file_names(const CutCommand& command, const PieceLayout& layout, bool failed) {
  std::vector<std::string> names;
  std::map<std::string, std::string> safe;
  std::map<std::string, int> count;
  SafeNames claimed;
  const char* ending = command.form == "dxf" ? "dxf" : command.form == "hpgl" ? "plt" : "nc";
  for (const std::vector<std::string>& materials : layout.materials) {
    const std::string material = command.pairs > 0 ? materials.front() : "";
    const auto [name, is_new] = safe.try_emplace(material);
    if (is_new && !material.empty()) name->second = claimed.claim(material) + " ";
    const PieceBed& bed = layout.beds[names.size()];
    names.push_back(fmt::format("{}{}{} {}.{}", failed && command.form != "dxf" ? "CHECKS FAILED " : "",
                                name->second, kind_of_bed(bed), ++count[material], ending));
  }
  return names;
}

Result<CutFile> file_of(const CutCommand& command, const Sheet& sheet,
                        const std::vector<Operation>& operations, const std::string& name) {
  CutFile file;
  const Box2 box = shape_bounds(only(sheet, operations));
  file.length = box.width();
  file.width = box.height();
  if (command.form == "dxf") {
    DxfWriteOptions options;
    if (command.dxf_version == "R12") options.version = DxfVersion::kR12;
    // Joining segments too short to cut can leave arcs, flatter than a hundredth of a millimetre.
    const Result<Sheet> joined =
        prepare_sheet(straightened(only(sheet, operations), Millimetres(command.chord)), options.prepare);
    if (!joined) return joined.problem();
    const Result<std::string> bytes = write_checked_dxf(straightened(*joined, tolerance::kArcFit), options);
    if (!bytes) return bytes.problem();
    file.bytes = *bytes;
  } else {
    Result<CutterText> text = CutterText{};
    if (command.form == "hpgl") {
      text = write_hpgl(sheet, {Millimetres(command.chord), operations});
    } else {
      GcodeOptions options = command.gcode;
      options.operations = operations;
      text = write_gcode(sheet, options);
    }
    if (!text) return text.problem();
    file.bytes = text->bytes;
  }
  file.name = name;
  return file;
}

Status heeded(const CutCommand& command) {
  const bool words = !command.gcode.knife_down.empty() || !command.gcode.knife_up.empty();
  if (command.form != "gcode" && words)
    return without_effect("--down, --up", "they are words of G-code: ask for --as gcode or leave them out");
  if (command.form != "gcode" && command.gcode.feed > 0.0)
    return without_effect("--feed", "it is a word of G-code: ask for --as gcode or leave it out");
  if (command.form != "gcode" && command.gcode.end != GcodeOptions{}.end)
    return without_effect("--end", "it is a line of G-code: ask for --as gcode or leave it out");
  if (command.form == "gcode" && (command.gcode.knife_down.empty() || command.gcode.knife_up.empty())) {
    return Problem{
        Trouble::kUsage,
        "G-code has no standard words for a knife: give those of the machine, as --down \"M3\" --up \"M5\"",
        {},
        {},
        {}};
  }
  if (command.form == "gcode" && command.gcode.knife_down == command.gcode.knife_up) {
    return Problem{
        Trouble::kUsage,
        fmt::format("--down and --up are both \"{}\": the knife would stay where it is between pieces",
                    command.gcode.knife_up),
        {},
        {},
        {}};
  }
  return Done{};
}

Result<std::vector<CutFile>> add_cut_files(const CutCommand& command, const PieceLayout& layout,
                                           const std::vector<Operation>& operations,
                                           const FailedStyles& failed, OutputSet& set) {
  std::vector<CutFile> files;
  const std::vector<Sheet>& sheets = layout.sheets;
  const std::vector<std::string> names = file_names(command, layout, !failed.empty());
  Progress progress("writing", sheets.size());
  for (std::size_t s = 0; s < sheets.size(); ++s) {
    Sheet sheet = sheets[s];
    add_failed_text(failed, sheet);
    Result<CutFile> file = file_of(command, sheet, operations, names[s]);
    if (!file) return file.problem();
    if (Status added = set.add(file->name, file->bytes); !added) return added.problem();
    files.push_back(*std::move(file));
    progress.advance();
  }
  return files;
}

ExitCode run_cut(const CutCommand& command) {
  if (const Status all = heeded(command); !all) return print_problem(all.problem());
  const Result<std::vector<Operation>> operations = operations_of(command);
  if (!operations) return print_problem(operations.problem());
  const Checked<WorksSpec> works = command.works.empty() || command.pairs == 0
                                       ? Checked<WorksSpec>(WorksSpec{})
                                       : load_works(command.works);
  if (!works) return print_problems(works.problems());
  Result<CutLayout> stated = layout_options(command, *works);
  if (!stated) return print_problem(stated.problem());
  PieceLayoutOptions* const options = &stated->options;
  const Checked<LoadedStyle> read = load_style(command.style, command.files);
  if (!read.ok()) return print_problems(read.problems());
  const LoadedStyle& loaded = *read;
  tell_left_out(loaded);
  std::vector<std::string> inputs = loaded.inputs;
  if (!command.works.empty()) inputs.push_back(command.works);
  Result<OutputSet> set = OutputSet::begin(command.out, {.force = command.force, .inputs = inputs});
  if (!set) return print_problem(set.problem());
  const Result<StyleGrade> grade =
      grade_style(loaded.spec, loaded.measures, loaded.run, loaded.pieces, {}, command.threads);
  if (!grade) return print_problem(grade.problem().in_file(command.style));
  SelectionOptions asked = command.selection;
  if (asked.sizes.empty()) asked.sizes = {loaded.run.base.size.label};
  if (asked.widths.empty()) asked.widths = {loaded.run.base.width.label};
  const Result<GradeSelection> selection = select(*grade, asked);
  if (!selection) return print_problem(selection.problem());
  std::vector<LaidPiece> pieces = pieces_of_pairs(*grade, selection->pieces, selection->cells, command.pairs);
  const std::vector<LaidPiece> ready_cut = take_ready_cut(*grade, stated->ready_cut, pieces);
  if (pieces.empty() && !ready_cut.empty())
    return print_problem(
        bad_value("all pieces that are asked for are bought ready cut: there is nothing to cut")
            .in_file(command.works));
  if (Status beds = all_have_beds(*grade, pieces, *options); !beds) return print_problem(beds.problem());
  Result<PieceLayout> layout = PieceLayout{};
  {
    Progress progress("drawing", pieces.size());
    options->advance = [&](std::size_t count) { progress.advance(count); };
    layout = lay_pieces(*grade, pieces, *options);
    options->advance = {};
  }
  if (!layout) return print_problem(layout.problem().in_file(command.style));
  FailedStyles failed;
  const std::vector<StyleFinding> findings =
      add_judged(failed, loaded.spec.name, loaded, *grade, command.threads);
  const Result<std::vector<CutFile>> files = add_cut_files(command, *layout, *operations, failed, *set);
  if (!files) return print_problem(files.problem());
  const CutReport report{*grade,        pieces,
                         *options,      *layout,
                         *files,        *operations,
                         failed,        loaded.spec.name,
                         command.form,  command.chord,
                         command.pairs, loaded.spec,
                         ready_cut,     feet_told(loaded.spec.name, findings)};
  if (Status added = set->add("cut.json", cut_json(report)); !added) return print_problem(added.problem());
  if (const Result<WrittenSet> done = set->commit(); !done) return print_problem(done.problem());
  const ExitCode said = print_summary(cut_text(report));
  return tell_failed(said, failed, "see lastwright check; cut nothing by these files");
}

}  // namespace

void add_cut(Program& app, Action& action) {
  auto command = std::make_shared<CutCommand>();
  Command* sub = app.add_subcommand(
      "cut",
      "Write files for a cutting table: pieces side by side on a roll or on sheets, as HP-GL, DXF or G-code");
  sub->add_option("style", command->style, "the style file")->required();
  sub->add_option("-o,--out", command->out, "folder for the files; it is created")->required();
  sub->add_option(
         "--as", command->form,
         "hpgl (chords, one pen for each operation), dxf (straight segments only) or gcode (true arcs)")
      ->check(one_of({"hpgl", "dxf", "gcode"}))
      ->capture_default_str();
  sub->add_option("--roll", command->roll, "width of the roll to cut from, in mm")
      ->check(within(1.0, 10000.0));
  sub->add_option("--sheet", command->sheet,
                  "sheet to cut from: its length along the grain and its width in mm, as 1500,1000")
      ->delimiter(',');
  sub->add_option("--works", command->works,
                  "the works file: with --pairs a material that it says is bought as a roll or as sheets is "
                  "cut from these; --roll or --sheet is for the others");
  sub->add_option("--gap", command->gap,
                  "distance between the boxes of two pieces in mm; a material for which the works file "
                  "states a gap has that")
      ->check(within(0.0, 200.0))
      ->capture_default_str();
  sub->add_option(
         "--pairs", command->pairs,
         "pieces for this many pairs of each size and width asked for, left and right, in files of their own "
         "for each material; 0: each piece once, as drawn, all together")
      ->check(whole_within(0, 1000))
      ->capture_default_str();
  sub->add_flag("--as-drawn", command->as_drawn, "do not turn grain lines along the roll");
  sub->add_option("--work", command->work,
                  "which operations to write: cut, cut-out, hole, nick, prick, stitch ... or all; the outer "
                  "cut comes last")
      ->delimiter(',');
  sub->add_option("--chord", command->chord, "how far, in mm, a chord may lie from its arc (hpgl, dxf)")
      ->check(within(0.001, 1.0))
      ->capture_default_str();
  sub->add_option("--down", command->gcode.knife_down,
                  "G-code words of your machine that put the knife down");
  sub->add_option("--up", command->gcode.knife_up, "G-code words that lift it");
  sub->add_option("--end", command->gcode.end, "last line of G-code")->capture_default_str();
  sub->add_option("--feed", command->gcode.feed, "feed in mm a minute; 0: none is written")
      ->check(within(0.0, 1e6));
  sub->add_option("--dxf", command->dxf_version, "version of the DXF files")
      ->check(one_of({"R2000", "R12"}))
      ->capture_default_str();
  add_selection_options(*sub, command->selection, "these sizes; the base unless given",
                        "these widths; the base unless given");
  sub->add_option("--threads", command->threads,
                  "worker threads; 0: one per core. The results do not depend on it");
  sub->add_flag("--force", command->force, "replace an earlier set in the folder");
  add_load_style_options(*sub, command->files);
  sub->callback([command, &action] { action = [command] { return run_cut(*command); }; });
}

}  // namespace lastwright
