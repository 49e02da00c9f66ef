#include "cli/commands/dies.hpp"

#include <filesystem>
#include <memory>

#include "cli/drawings/die_files.hpp"
#include "cli/drawings/left_out.hpp"
#include "cli/files/file_digests.hpp"
#include "cli/files/order_folder.hpp"
#include "cli/option_problem.hpp"
#include "cli/print.hpp"
#include "cli/report/die_text.hpp"
#include "cli/report/failed_checks.hpp"
#include "cli/style_options.hpp"
#include "grading/dies/die_rules_json.hpp"
#include "grading/jobs/order_job.hpp"
#include "grading/json/json_schema.hpp"
#include "grading/json/schema_outline.hpp"

namespace lastwright {

namespace {

struct DiesCommand {
  std::string style;
  std::string out;
  LoadStyleOptions files;
  PartLabels part;
  std::string rules_file;
  std::vector<std::string> tolerances;
  std::vector<std::string> owned;
  bool no_ties = false;
  bool own_outlines_only = false;
  double seam_limit = 0.0;  // 0: the rules' or the style's own
  std::string dxf_version = "R2000";
  DieOrderHead head;
  unsigned threads = 0;
  bool force = false;
  bool explain = false;  // print the keys of a rules file instead
};

// The rules file, then what the command line says over it.
Result<DieRules> rules_of(const DiesCommand& command, const StyleSpec& style) {
  Result<DieRules> rules = load_die_rules(command.rules_file, style);
  if (!rules) return rules;
  if (Status set = set_tolerances(*rules, command.tolerances); !set)
    return in_option(set.problem(), "--tolerance");
  if (command.no_ties) rules->ties = false;
  if (command.own_outlines_only || !rules->ties) rules->between = false;
  if (command.seam_limit > 0.0) rules->seam_limit = command.seam_limit;
  return rules;
}

std::vector<std::string> inputs_of(const DiesCommand& command, const LoadedStyle& loaded) {
  std::vector<std::string> inputs = loaded.inputs;
  if (!command.rules_file.empty()) inputs.push_back(command.rules_file);
  inputs.insert(inputs.end(), command.owned.begin(), command.owned.end());
  return inputs;
}

// A rules file may let one piece tie where the others do not, and a die that is owned need not be exact.
Status heeded(const DiesCommand& command) {
  if (!command.no_ties || !command.rules_file.empty()) return Done{};
  if (command.own_outlines_only)
    return without_effect("--own-outlines-only", "--no-ties draws no die half way already; leave one out");
  if (!command.tolerances.empty() && command.owned.empty())
    return without_effect("--tolerance",
                          "with --no-ties every size and width has its own die; leave one out");
  return Done{};
}

// A plain drawing is of no set.
Status owned_as_written(const std::string& file) {
  std::error_code error;
  if (!std::filesystem::is_directory(file, error) && !file.ends_with(".json")) return Done{};
  const std::string order = file.ends_with(".json") ? file : file + "/die-order.json";
  if (!std::filesystem::exists(order, error)) return Done{};  // told where it is read
  return order_as_written(file, OrderFiles::kDrawings);
}

ExitCode run_dies(const DiesCommand& command) {
  if (command.explain) return print_result(schema_outline(die_rules_schema()));
  for (const auto& [name, given] : {std::pair{"style", &command.style}, std::pair{"--out", &command.out}}) {
    if (given->empty())
      return print_problem(
          {Trouble::kUsage, std::string(name) + " is required; see lastwright dies --help", {}, {}, {}});
  }
  if (const Status all = heeded(command); !all) return print_problem(all.problem());
  Checked<LoadedStyle> read = load_style(command.style, command.files);
  if (!read.ok()) return print_problems(read.problems());
  const Result<std::string> part = keep_part(*read, command.part);
  if (!part) return print_problem(part.problem().in_file(command.style));
  const LoadedStyle& loaded = *read;
  tell_left_out_in_short(loaded);
  const Result<DieRules> rules = rules_of(command, loaded.spec);
  if (!rules) return print_problem(rules.problem());
  for (const std::string& file : command.owned) {
    if (const Status same = owned_as_written(file); !same) return print_problem(same.problem());
  }
  const Result<std::vector<EarlierDie>> earlier = load_earlier_dies(command.owned);
  if (!earlier) return print_problem(earlier.problem());
  // Before the work, so that nobody waits for an order that cannot be put.
  Result<OutputSet> set =
      OutputSet::begin(command.out, {.force = command.force, .inputs = inputs_of(command, loaded)});
  if (!set) return print_problem(set.problem());
  const Result<PlannedOrder> planned =
      plan_order(loaded, *rules, owned_of(*earlier), nullptr, command.threads);
  if (!planned) return print_problem(planned.problem().in_file(command.style));
  const DiePlan& plan = planned->plan;
  DieOrder order = planned->order;
  order.head = command.head;
  if (!part->empty()) order.notes.push_back("for " + *part + "; for the others there is no die in it");
  const auto digests = file_digests(inputs_of(command, loaded));
  if (!digests) return print_problem(digests.problem());
  order.made_from = *digests;
  DxfWriteOptions dxf;
  if (command.dxf_version == "R12") dxf.version = DxfVersion::kR12;
  if (Status added = add_die_files(order, plan, *rules, dxf, command.threads,
                                   handed_on(*earlier, plan, order, planned->places), *set);
      !added)
    return print_problem(added.problem());
  if (const Result<WrittenSet> done = set->commit(); !done) return print_problem(done.problem());
  const ExitCode said = print_summary(die_order_text(order, plan));
  for (const std::string& note : order.unmet) print_warning(note);
  FailedStyles failed;
  add_failed(failed, order.style, order.failed);
  return tell_failed(said, failed, "see the lines marked FAIL; have no die made");
}

}  // namespace

void add_dies(Program& app, Action& action) {
  auto command = std::make_shared<DiesCommand>();
  Command* sub = app.add_subcommand(
      "dies",
      "Write the die order of a style: the fewest dies that are found, a drawing of each, the order sheet");
  sub->add_option("style", command->style, "the style file");
  sub->add_option("-o,--out", command->out, "folder for the order; it is created");
  add_part_options(*sub, command->part);
  sub->add_option(
      "--rules", command->rules_file,
      "rules file of the works: tolerances, tooling groups, rule, bevel and handle, weight, rates, limits "
      "(JSON; --explain lists its keys)");
  sub->add_flag("--explain", command->explain, "print every key of a rules file and what it means");
  sub->add_option(
      "--tolerance", command->tolerances,
      "how far, in mm, the outline of a size may deviate from the die that cuts it: 0.3 for all edges, "
      "lasting=0.5 for one kind, 0.3,lasting=0.5 for both; may be repeated");
  sub->add_flag("--no-ties", command->no_ties, "make a die for every size and width");
  sub->add_flag("--own-outlines-only", command->own_outlines_only,
                "draw no die half way between two sizes or widths");
  sub->add_option("--seam-limit", command->seam_limit,
                  "how much, in mm, mates may differ in length as the dies cut them, beyond their difference "
                  "in the base size; the rules' \"seam_limits\" set single seams")
      ->check(within(1e-6, 1000.0));
  sub->add_option("--owned", command->owned,
                  "an earlier order's folder, or the DXF of a die you have; may be repeated");
  sub->add_option("--order-number", command->head.number, "number of the order, printed on it");
  sub->add_option("--date", command->head.date,
                  "date of the order, as you write it; the program reads no clock");
  sub->add_option("--contact", command->head.contact, "whom the die maker can ask");
  sub->add_option("--delivery", command->head.delivery, "when the dies are wanted, as you write it");
  sub->add_option("--dxf", command->dxf_version, "version of the DXF files")
      ->check(one_of({"R2000", "R12"}))
      ->capture_default_str();
  sub->add_option("--threads", command->threads,
                  "worker threads; 0: one per core. The results do not depend on it");
  sub->add_flag("--force", command->force, "replace an earlier order in the folder");
  sub->add_option("--table", command->files.tables,
                  "a FILE with a scale (sizes), a ladder (widths) or a table of your own; may be repeated");
  sub->callback([command, &action] { action = [command] { return run_dies(*command); }; });
}

}  // namespace lastwright
