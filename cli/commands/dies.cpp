#include "cli/commands/dies.hpp"

#include <fmt/format.h>

#include <memory>

#include "cli/die_files.hpp"
#include "cli/owned_dies.hpp"
#include "cli/print.hpp"
#include "cli/read_file.hpp"
#include "cli/style_files.hpp"
#include "grading/die_rules_json.hpp"
#include "grading/grade.hpp"

namespace lastwright {

namespace {

struct DiesCommand {
  std::string style;
  std::string out;
  LoadStyleOptions files;
  std::string rules_file;
  std::vector<std::string> tolerances;
  std::vector<std::string> owned;
  bool no_ties = false;
  bool own_outlines_only = false;
  double seam_limit = 0.0;  // 0: the rules' or the style's own
  std::string dxf_version = "R2000";
  bool force = false;
};

// The rules file, then what the command line says over it.
Result<DieRules> rules_of(const DiesCommand& command, const StyleSpec& style) {
  DieRules rules;
  if (!command.rules_file.empty()) {
    const Result<std::string> text = read_file(command.rules_file);
    if (!text) return text.problem();
    DieRulesRead read = read_die_rules(*text, command.rules_file, style);
    if (!read.problems.empty()) return read.problems.front();
    rules = std::move(read.rules);
  }
  for (const std::string& typed : command.tolerances) {
    if (Status set = set_tolerance(rules, typed); !set) return set.problem();
  }
  if (command.no_ties) rules.ties = false;
  if (command.own_outlines_only || !rules.ties) rules.between = false;
  if (command.seam_limit > 0.0) rules.seam_limit = command.seam_limit;
  return rules;
}

Result<std::vector<OwnedDie>> owned_of(const DiesCommand& command) {
  std::vector<OwnedDie> owned;
  for (const std::string& path : command.owned) {
    Result<std::vector<OwnedDie>> some = read_owned_dies(path);
    if (!some) return some.problem();
    owned.insert(owned.end(), some->begin(), some->end());
  }
  return owned;
}

std::vector<std::string> inputs_of(const DiesCommand& command, const LoadedStyle& loaded) {
  std::vector<std::string> inputs = loaded.inputs;
  if (!command.rules_file.empty()) inputs.push_back(command.rules_file);
  inputs.insert(inputs.end(), command.owned.begin(), command.owned.end());
  return inputs;
}

std::string summary(const DieOrder& order, const DiePlan& plan, const DieRules& rules) {
  std::string text = fmt::format("{}: {} dies to make", order.style, order.totals.dies);
  text += fmt::format(", {} with one for every size and width; lower bound {:.0f}, {}\n", plan.dies_without,
                      plan.bound, plan.proven ? "proven least" : "not proven least");
  if (order.totals.owned > 0)
    text += fmt::format("  {} lines are served by dies already owned\n", order.totals.owned);
  text += fmt::format("  {:.1f} m of rule; greatest seam difference as served {:.3f} mm (limit {})\n",
                      (order.totals.rule_outer + order.totals.rule_inner) / 1000.0, plan.worst_seam,
                      plan.seam_limit);
  if (order.priced) text += fmt::format("  price {:.2f} {}\n", order.totals.price, order.currency);
  std::size_t findings = 0;
  for (const PlannedDie& die : plan.dies) findings += die.findings.size();
  text += fmt::format("  {} findings of the die-making checks: die-findings.csv\n", findings);
  for (const PieceSummary& piece : plan.pieces) {
    text +=
        fmt::format("  {:<20} {:>4} outlines for {} sizes and widths, {:.3f} mm at most{}\n", piece.name,
                    piece.outlines, piece.outlines_without, piece.worst_deviation,
                    piece.alone < piece.outlines ? fmt::format("; {} if no seam held it", piece.alone) : "");
  }
  for (const CurvePoint& point : plan.curve) {
    text += fmt::format("  at {:.1f} mm: {} dies{}\n", point.tolerance, point.dies,
                        point.proven ? "" : fmt::format(", at least {}", point.bound));
  }
  for (const std::string& note : plan.notes) text += "  note: " + note + "\n";
  (void)rules;
  return text;
}

ExitCode run_dies(const DiesCommand& command) {
  const StyleLoad read = load_style(command.style, command.files);
  if (!read.ok()) return print_problems(read.problems);
  const LoadedStyle& loaded = *read.style;
  const Result<DieRules> rules = rules_of(command, loaded.spec);
  if (!rules) return print_problem(rules.problem());
  Result<std::vector<OwnedDie>> owned = owned_of(command);
  if (!owned) return print_problem(owned.problem());
  const DiePlaces places = die_places(loaded.run, rules->between);
  const Result<StyleGrade> grade = grade_style(loaded.spec, loaded.measures, places.refined, loaded.pieces);
  if (!grade) return print_problem(grade.problem().in_file(command.style));
  const Result<DiePlan> plan = plan_dies(plan_input(loaded.spec, *rules, places, *grade, *owned));
  if (!plan) return print_problem(plan.problem().in_file(command.style));
  const DieOrder order = make_die_order(*plan, loaded.spec, *rules, places, *owned);

  Result<OutputSet> set =
      OutputSet::begin(command.out, {.force = command.force, .inputs = inputs_of(command, loaded)});
  if (!set) return print_problem(set.problem());
  DxfWriteOptions dxf;
  if (command.dxf_version == "R12") dxf.version = DxfVersion::kR12;
  if (Status added = add_die_files(order, *plan, *rules, dxf, *set); !added)
    return print_problem(added.problem());
  if (const Result<WrittenSet> done = set->commit(); !done) return print_problem(done.problem());
  return print_summary(summary(order, *plan, *rules));
}

}  // namespace

void add_dies(CLI::App& app, Action& action) {
  auto command = std::make_shared<DiesCommand>();
  CLI::App* sub = app.add_subcommand(
      "dies", "The die order of a style: the fewest dies, a drawing of each, the order sheet");
  sub->add_option("style", command->style, "the style file")->required();
  sub->add_option("-o,--out", command->out, "folder for the order; made new")->required();
  sub->add_option("--rules", command->rules_file,
                  "file with tolerances, hands, tooling groups, rates and limits");
  sub->add_option("--tolerance", command->tolerances,
                  "mm a served outline may be from its die: 0.3 for all edges, lasting=0.5 for one kind; may "
                  "be repeated");
  sub->add_flag("--no-ties", command->no_ties, "a die for every size and width");
  sub->add_flag("--own-outlines-only", command->own_outlines_only,
                "no die half way between two sizes or widths");
  sub->add_option("--seam-limit", command->seam_limit,
                  "mm that mates may differ as served, beyond the sample")
      ->check(CLI::PositiveNumber);
  sub->add_option("--owned", command->owned,
                  "an earlier order's folder, or the DXF of a die you have; may be repeated");
  sub->add_option("--dxf", command->dxf_version, "version of the DXF files")
      ->check(CLI::IsMember({"R2000", "R12"}))
      ->capture_default_str();
  sub->add_flag("--force", command->force, "replace an earlier order in the folder");
  sub->add_option("--table", command->files.tables, "a table FILE of your own; may be repeated");
  sub->callback([command, &action] { action = [command] { return run_dies(*command); }; });
}

}  // namespace lastwright
