#include "cli/commands/areas.hpp"

#include <memory>

#include "cli/drawings/left_out.hpp"
#include "cli/files/output_set.hpp"
#include "cli/planning/area_report.hpp"
#include "cli/print.hpp"
#include "cli/progress.hpp"
#include "cli/style_options.hpp"
#include "cli/tables/csv.hpp"
#include "cli/tables/xlsx.hpp"
#include "grading/jobs/grade_selection.hpp"

namespace lastwright {

namespace {

struct AreasCommand {
  std::string style;
  std::string out;
  LoadStyleOptions files;
  SelectionOptions selection;
  LayRules rules;
  bool one_way = false;
  bool hands_apart = false;
  unsigned threads = 0;
  bool force = false;
};

Status add_area_files(const AreaReport& report, OutputSet& set) {
  std::vector<Table> tables{area_summary_table(report), area_table(report)};
  if (!report.failed.empty()) tables.insert(tables.begin(), failed_table(report.failed));
  const Result<std::string> book = to_xlsx(tables, "Scale areas: " + report.style->spec.name);
  if (!book) return book.problem();
  if (Status one = set.add("scale-areas.xlsx", *book); !one) return one;
  if (Status one = set.add("scale-areas.csv", to_csv(area_table(report))); !one) return one;
  if (Status one = set.add("scale-areas.json", area_json(report)); !one) return one;
  return set.add("scale-areas.html", area_page(report));
}

ExitCode run_areas(const AreasCommand& command) {
  Checked<LoadedStyle> read = load_style(command.style, command.files);
  if (!read.ok()) return print_problems(read.problems());
  LoadedStyle& loaded = *read;
  tell_left_out(loaded);
  Result<OutputSet> set = OutputSet::begin(command.out, {.force = command.force, .inputs = loaded.inputs});
  if (!set) return print_problem(set.problem());
  const Result<StyleGrade> grade =
      grade_style(loaded.spec, loaded.measures, loaded.run, loaded.pieces, {}, command.threads);
  if (!grade) return print_problem(grade.problem().in_file(command.style));
  const Result<GradeSelection> selected = select(*grade, command.selection);
  if (!selected) return print_problem(selected.problem());
  const AreaSelection selection{selected->pieces, selected->cells};
  ScaleAreaOptions options;
  options.rules = command.rules;
  options.rules.half_turned = !command.one_way;
  options.rules.mixed_hands = !command.hands_apart;
  options.threads = command.threads;
  Result<ScaleAreas> areas = ScaleAreas{};
  {
    Progress progress("laying", outlines_of(*grade, selection));
    options.advance = [&](std::size_t count) { progress.advance(count); };
    areas = scale_areas(*grade, selection, options);
  }
  if (!areas) return print_problem(areas.problem().in_file(command.style));
  AreaReport report{&loaded, &*grade, options.rules, &*areas, {}};
  add_judged(report.failed, loaded.spec.name, loaded, *grade, command.threads);
  if (Status added = add_area_files(report, *set); !added) return print_problem(added.problem());
  if (const Result<WrittenSet> done = set->commit(); !done) return print_problem(done.problem());
  return tell_failed(print_summary(area_text(report)), report.failed,
                     "see lastwright check; cut and order nothing by these areas");
}

}  // namespace

void add_areas(Program& app, Action& action) {
  auto command = std::make_shared<AreasCommand>();
  Command* sub = app.add_subcommand("areas",
                                    "Work out what each piece takes of its material, laid in the closest "
                                    "lattice that is found, in every size and width");
  sub->add_option("style", command->style, "the style file")->required();
  sub->add_option("-o,--out", command->out, "folder for the tables and the page; it is created")->required();
  sub->add_option("--gap", command->rules.gap, "mm between two cuts; 0: one cut serves both")
      ->check(within(0.0, 50.0))
      ->capture_default_str();
  sub->add_flag("--one-way", command->one_way, "never turn a piece half round: for naps and prints");
  sub->add_flag("--hands-apart", command->hands_apart,
                "never lay left and right pieces in one lattice, even where that is closer");
  add_selection_options(*sub, command->selection, "only these sizes, e.g. 8,8.5", "only these widths");
  sub->add_option("--threads", command->threads,
                  "worker threads; 0: one per core. The results do not depend on it");
  sub->add_flag("--force", command->force, "replace an earlier set in the folder");
  add_load_style_options(*sub, command->files);
  sub->callback([command, &action] { action = [command] { return run_areas(*command); }; });
}

}  // namespace lastwright
