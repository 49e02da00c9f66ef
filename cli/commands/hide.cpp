#include "cli/commands/hide.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "cli/drawings/left_out.hpp"
#include "cli/files/output_set.hpp"
#include "cli/planning/hide_report.hpp"
#include "cli/planning/load_hide.hpp"
#include "cli/planning/load_works.hpp"
#include "cli/print.hpp"
#include "cli/progress.hpp"
#include "cli/style_options.hpp"
#include "cli/tables/csv.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/dxf/dxf_write.hpp"
#include "grading/checks/lasting/feet_told.hpp"
#include "grading/jobs/grade_selection.hpp"
#include "grading/jobs/left_out.hpp"
#include "grading/planning/consumption.hpp"
#include "grading/planning/works_fit.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

struct HideCommand {
  std::string style;
  std::string hide;
  std::string hide_units;
  std::string works;
  std::string material;
  std::string out;
  LoadStyleOptions files;
  SelectionOptions selection;
  int pairs = 0;
  double mates = 1.5;
  bool rows = false;
  std::optional<double> gap;
  unsigned threads = 0;
  bool force = false;
};

// Those of one material; where the style has several, it must be named.
Result<std::vector<std::size_t>> pieces_of_material(const StyleGrade& grade, const HideCommand& command,
                                                    const std::vector<std::size_t>& selected) {
  std::vector<std::size_t> pieces;
  std::string known;
  std::string first;
  for (const std::size_t p : selected) {
    const std::string& material = grade.pieces[p].bound.spec.material;
    if (known.find("\"" + material + "\"") == std::string::npos)
      known += fmt::format("{}\"{}\"", known.empty() ? "" : ", ", material);
    if (first.empty()) first = material;
    const bool wanted = command.material.empty() ? material == first : material == command.material;
    if (wanted) pieces.push_back(p);
  }
  const bool several = command.material.empty() && pieces.size() != selected.size();
  if (several || pieces.empty()) {
    return Problem{Trouble::kUsage,
                   several
                       ? fmt::format("the pieces are of several materials; name one by --material: {}", known)
                       : fmt::format("--material: {} is of \"{}\"; they are of {}",
                                     selected.size() == grade.pieces.size() ? "no piece"
                                                                            : "none of the pieces asked for",
                                     command.material, known),
                   {},
                   {},
                   {}};
  }
  return pieces;
}

// Rules for pieces that there are not; where the works has several styles one of them may have the piece.
std::vector<Problem> unknown_cut(const WorksSpec& works, const StyleSpec& style) {
  if (works.styles.size() > 1) return {};
  WorksSpec rules;
  rules.file = works.file;
  rules.cutting = works.cutting;
  std::vector<std::string> known;
  for (const PieceSpec& piece : style.pieces) known.push_back(piece.name);
  return unknown_pieces(rules, known);
}

std::string cell_list(const StyleGrade& grade, const std::vector<std::size_t>& cells) {
  std::string list;
  for (const std::size_t cell : cells) list += (list.empty() ? "" : ", ") + label_of(grade.cells[cell]);
  return list;
}

// By area and edge of the hide (consumption.hpp), on the average over the sizes asked for.
Result<double> pairs_by_law(const StyleGrade& grade, const AreaSelection& selection, const HideDrawing& hide,
                            const LayRules& rules, unsigned threads,
                            const std::function<void(std::size_t)>& advance) {
  ScaleAreaOptions options;
  options.advance = advance;
  options.rules = rules;
  options.threads = threads;
  const Result<ScaleAreas> areas = scale_areas(grade, selection, options);
  if (!areas) return areas.problem();
  double taken = 0.0;  // hides, of a pair of each size and width together
  for (const std::vector<ScaleArea>& row : *areas) {
    for (const ScaleArea& area : row) {
      const double held = held_by_law({hide.usable(), hide.bounded_by, hide.holes_within, ""}, area);
      if (!(held >= 1.0)) return 0.0;
      taken += grade.pieces[area.piece].bound.spec.per_pair / held;
    }
  }
  return static_cast<double>(selection.cells.size()) / taken;
}

Status add_hide_files(const HideReport& report, OutputSet& set) {
  const Result<Sheet> sheet = hide_sheet(report);
  if (!sheet) return sheet.problem();
  const Result<std::string> dxf = write_checked_dxf(*sheet);
  if (!dxf) return dxf.problem();
  if (Status one = set.add("hide.dxf", *dxf); !one) return one;
  if (Status one = set.add("hide.svg", hide_svg(report)); !one) return one;
  if (Status one = set.add("hide.csv", to_csv(hide_table(report))); !one) return one;
  if (Status one = set.add("by die.csv", to_csv(hide_die_table(report))); !one) return one;
  if (Status one = set.add("hide.json", hide_json(report)); !one) return one;
  return set.add("hide.html", hide_page(report));
}

// What the report says of how its figures are reckoned. `pieces`: those that are laid.
void note_reckoning(const WorksSpec& works, const std::vector<std::size_t>& pieces, HideReport& report) {
  for (const auto& [piece, rule] : works.cutting) {
    const auto& all = report.grade->pieces;
    const bool known = std::any_of(all.begin(), all.end(),
                                   [&](const PreparedPiece& one) { return one.bound.spec.name == piece; });
    if (known) continue;
    report.notes.push_back(
        fmt::format("the style has no piece \"{}\", for which the works file has a rule", piece));
  }
  const bool zoned = std::any_of(pieces.begin(), pieces.end(), [&](std::size_t p) {
    const auto rule = works.cutting.find(report.grade->pieces[p].bound.spec.name);
    return rule != works.cutting.end() && !rule->second.zones.empty();
  });
  const std::string edge =
      fmt::format("{:.0f} mm of edge{}", report.hide->bounded_by,
                  report.hide->holes_within == 0
                      ? ""
                      : fmt::format(", that of {} in it", counted(report.hide->holes_within, "hole")));
  report.notes.push_back(
      report.pairs_by_law
          ? fmt::format(
                "pairs by area and edge: what a hide of this usable area and {}, holds on the average "
                "where like pieces lie in one fixed pattern, laid on it at random; to compare with, "
                "not a limit",
                edge)
          : fmt::format("pairs by area and edge are not stated: a hide of this usable area and {}, is too "
                        "small for that reckoning",
                        edge));
  if (report.gap > 0.0)
    report.notes.push_back(fmt::format(
        "cuts keep half the gap, {:g} mm, from the edge, from holes and from the border of a zone",
        0.5 * report.gap));
  if (zoned && report.pairs_by_law)
    report.notes.emplace_back(
        "pairs by area and edge count with the whole usable hide, whatever zones pieces come from");
  if (works.cutting.empty())
    report.notes.emplace_back(
        "no works file says which zone a piece comes from: each lies anywhere, its grain along");
}

ExitCode run_hide(const HideCommand& command) {
  const Checked<WorksSpec> stated_works =
      command.works.empty() ? Checked<WorksSpec>(WorksSpec{}) : load_works(command.works);
  if (!stated_works) return print_problems(stated_works.problems());
  const WorksSpec* const works = &*stated_works;
  Checked<LoadedStyle> read = load_style(command.style, command.files);
  if (!read.ok()) return print_problems(read.problems());
  LoadedStyle& loaded = *read;
  tell_left_out_in_short(loaded);
  if (const std::vector<Problem> unknown = unknown_cut(*works, loaded.spec); !unknown.empty())
    return print_problems(unknown);
  loaded.inputs.push_back(command.hide);
  if (!command.works.empty()) loaded.inputs.push_back(command.works);
  const Result<HideDrawing> hide = load_hide(command.hide, unit_named(command.hide_units), "--hide-units");
  if (!hide) return print_problem(hide.problem());
  Result<OutputSet> set = OutputSet::begin(command.out, {.force = command.force, .inputs = loaded.inputs});
  if (!set) return print_problem(set.problem());
  const Result<StyleGrade> grade =
      grade_style(loaded.spec, loaded.measures, loaded.run, loaded.pieces, {}, command.threads);
  if (!grade) return print_problem(grade.problem().in_file(command.style));
  SelectionOptions asked = command.selection;
  if (asked.sizes.empty()) asked.sizes = {loaded.run.base.size.label};
  if (asked.widths.empty()) asked.widths = {loaded.run.base.width.label};
  const Result<GradeSelection> selected = select(*grade, asked);
  if (!selected) return print_problem(selected.problem());
  const Result<std::vector<std::size_t>> pieces = pieces_of_material(*grade, command, selected->pieces);
  if (!pieces) return print_problem(pieces.problem());

  HideOptions options;
  const std::string& material = grade->pieces[pieces->front()].bound.spec.material;
  const auto stated = works->materials.find(material);
  if (stated != works->materials.end() && stated->second.bought_as == BoughtAs::kPieces)
    return print_problem(
        bad_value(fmt::format("\"{}\" is bought ready cut: nothing of it is laid on a hide", material))
            .in_file(command.works));
  if (stated != works->materials.end()) options.rules = stated->second.lay;
  if (command.gap) options.rules.gap = *command.gap;
  options.pieces = works->cutting;
  options.mates_within = command.mates;
  options.rows = command.rows;
  const std::size_t most = command.pairs > 0 ? static_cast<std::size_t>(command.pairs) : options.most_pairs;
  std::vector<HidePair> pairs;
  for (std::size_t k = 0; k < most; ++k) pairs.push_back({selected->cells[k % selected->cells.size()]});
  Result<HideLayout> layout = HideLayout{};
  std::optional<std::size_t> pairs_without_rows;
  {
    Progress progress("trying layouts", 0);
    std::size_t expected = 0;
    options.expect = [&](std::size_t count) { progress.expect(expected += count); };
    options.advance = [&](std::size_t count) { progress.advance(count); };
    layout = lay_on_hide(*grade, *pieces, pairs, *hide, options);
    if (layout && command.rows) {
      options.rows = false;
      const Result<HideLayout> singly = lay_on_hide(*grade, *pieces, pairs, *hide, options);
      pairs_without_rows = singly ? singly->pairs : 0;
    }
  }
  if (!layout) return print_problem(layout.problem().in_file(command.hide));
  Result<double> law = 0.0;
  {
    const AreaSelection laid{*pieces, selected->cells};
    Progress progress("laying", outlines_of(*grade, laid));
    law = pairs_by_law(*grade, laid, *hide, options.rules, command.threads,
                       [&](std::size_t count) { progress.advance(count); });
  }
  if (!law) return print_problem(law.problem().in_file(command.style));
  HideReport report{&*grade,
                    &*hide,
                    &*layout,
                    loaded.spec.name,
                    material,
                    command.hide,
                    options.rules.gap,
                    *law > 0.0 ? std::optional(*law) : std::nullopt,
                    {},
                    {}};
  const std::vector<StyleFinding> findings =
      add_judged(report.failed, loaded.spec.name, loaded, *grade, command.threads);
  report.doubts = left_out_in_short_of(loaded);
  report.spec = &loaded.spec;
  report.rows = command.rows;
  report.pairs_without_rows = pairs_without_rows;
  report.asked = command.pairs > 0 ? most : 0;
  report.notes.push_back("sizes and widths in turn: " + cell_list(*grade, selected->cells));
  if (!command.works.empty() && stated == works->materials.end()) {
    std::vector<std::string> names;
    for (const auto& [name, spec] : works->materials) names.push_back(name);
    const std::string words = fmt::format("the works file has no material \"{}\"{}: laid by no rule of it",
                                          material, suggestion(material, names));
    print_warning(words);
    report.notes.push_back(words);
  }
  for (std::string& line : feet_told(loaded.spec.name, findings)) report.notes.push_back(std::move(line));
  note_reckoning(*works, *pieces, report);
  if (Status added = add_hide_files(report, *set); !added) return print_problem(added.problem());
  if (const Result<WrittenSet> done = set->commit(); !done) return print_problem(done.problem());
  const ExitCode said = tell_failed(print_summary(hide_text(report)), report.failed,
                                    "see lastwright check; cut nothing by this layout");
  const std::string fewer = pairs_short(report);
  if (!fewer.empty()) print_warning(fewer);
  if (said != ExitCode::kOk) return said;
  return fewer.empty() ? ExitCode::kOk : ExitCode::kCheckFailed;
}

}  // namespace

void add_hide(Program& app, Action& action) {
  auto command = std::make_shared<HideCommand>();
  Command* sub = app.add_subcommand(
      "hide", "Lay whole pairs on a hide: how many find room, what share of it they take, and a picture");
  sub->add_option("style", command->style, "the style file")->required();
  sub->add_option(
         "--hide", command->hide,
         "the hide as DXF, its edge on the layer hide, holes on hole, zones of quality on zone NAME, the "
         "way pieces lie on direction")
      ->required();
  sub->add_option("--hide-units", command->hide_units,
                  "unit of the hide's drawing, whatever it says itself: mm, cm or in")
      ->check(one_of({"mm", "cm", "in"}));
  sub->add_option("-o,--out", command->out, "folder for picture, page, DXF and tables; it is created")
      ->required();
  sub->add_option("--material", command->material, "only the pieces of this material");
  sub->add_option(
      "--works", command->works,
      "the works file: gap and turns of the material, zones and directions of pieces (\"cutting\")");
  sub->add_option(
         "--pairs", command->pairs,
         "lay this many pairs; exit code 1 if not all of them find room. Unless given, as many as find room")
      ->check(whole_within(1, 500));
  sub->add_option("--mates", command->mates,
                  "how far apart like pieces of a pair may lie where there is room, in lengths of the piece; "
                  "0: anywhere")
      ->check(within(0.0, 100.0))
      ->capture_default_str();
  sub->add_flag("--rows", command->rows,
                "lay like pieces in rows of three or more, as one die cuts them, each row in one zone; the "
                "others singly");
  sub->add_option("--gap", command->gap, "mm between two cuts; the material's own unless given")
      ->check(within(0.0, 50.0));
  add_selection_options(*sub, command->selection, "sizes of the pairs in turn; the base size unless given",
                        "widths; the base width unless given");
  sub->add_option("--threads", command->threads,
                  "worker threads; 0: one per core. The results do not depend on it");
  sub->add_flag("--force", command->force, "replace an earlier set in the folder");
  add_load_style_options(*sub, command->files);
  sub->callback([command, &action] { action = [command] { return run_hide(*command); }; });
}

}  // namespace lastwright
