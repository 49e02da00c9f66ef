#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <memory>
#include <optional>

#include "cli/files/output_set.hpp"
#include "cli/files/safe_name.hpp"
#include "cli/last/commands.hpp"
#include "cli/last/forme_files.hpp"
#include "cli/last/rules_files.hpp"
#include "cli/print.hpp"
#include "cli/tables/csv.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/dxf/dxf_write.hpp"
#include "geometry/io/paper/svg_write.hpp"
#include "geometry/io/safe_text.hpp"
#include "grading/lasts/formes/forme_set.hpp"
#include "grading/lasts/style_told.hpp"

namespace lastwright {

namespace {

constexpr double kFarApart = 8.0;  // mm: sides farther apart make a mean forme that is neither

struct FormesOptions {
  std::string file;
  std::string out;
  std::vector<std::string> sizes;
  std::vector<std::string> widths;
  FormeSetOptions set;
  bool strain = false;  // a picture of every last, not of the bases alone
  bool force = false;
};

// The rows of one last's tables, and what the summary says of it.
struct FormeRows {
  std::string lines, points, strain, sides, nicks;
  double worst_line = 0.0;
  double stretch = 0.0;  // 95 % of the worst forme
  double apart = 0.0;
  std::string said;  // the totals of each forme
};

std::string totals_of(const std::string& label, const LastFormes& formes) {
  std::string said;
  for (const LastForme* forme : {&formes.outside, &formes.inside, &formes.mean, &formes.bottom}) {
    said += fmt::format("{:<9} {:<8}", label, forme->name);
    for (const std::vector<FormeLine>* some : {&forme->rims, &forme->lines}) {
      for (const FormeLine& line : *some) {
        if (line.kept)
          said +=
              fmt::format(" {} {:.2f} ({:+.3f})", line.name, line.on_last, line.flat - line.on_last + 0.0);
      }
    }
    said += fmt::format("; stretch {:.1f} / {:.1f} / {:.1f} %\n", 100.0 * forme->stretch.middle,
                        100.0 * forme->stretch.high, 100.0 * forme->stretch.worst);
  }
  return said;
}

FormeRows rows_of(const SizeWidth& at, const LastFormes& formes) {
  const std::string cell = csv_field(at.size.label) + "," + csv_field(at.width.label);
  FormeRows rows{forme_lines_csv(cell, formes),
                 forme_points_csv(cell, formes),
                 forme_strain_csv(cell, formes),
                 forme_sides_csv(cell, formes),
                 forme_nicks_csv(cell, formes),
                 0.0,
                 0.0,
                 0.0,
                 {}};
  for (const LastForme* forme : {&formes.outside, &formes.inside, &formes.mean, &formes.bottom}) {
    rows.worst_line = std::max(rows.worst_line, forme->worst_line);
    rows.stretch = std::max(rows.stretch, forme->stretch.high);
  }
  for (const SideGap& gap : formes.apart) rows.apart = std::max(rows.apart, gap.most);
  rows.said = totals_of(label_of(at), formes);
  return rows;
}

Status put_formes(const LastFormes& formes, const std::string& label, OutputSet& out) {
  for (const LastForme* forme : {&formes.outside, &formes.inside, &formes.mean, &formes.bottom}) {
    const Sheet sheet = forme_sheet(*forme, fmt::format("{} forme {}", forme->name, label));
    const Result<std::string> dxf = write_checked_dxf(sheet);
    if (!dxf) return dxf.problem().in("forme", forme->name);
    const std::string name = forme->name + "/" + safe_name(label);
    if (Status put = out.add(name + ".dxf", *dxf); !put) return put;
    if (Status put = out.add(name + ".svg", write_svg(sheet)); !put) return put;
  }
  if (Status put = out.add("points/" + safe_name(label) + ".json", forme_points_json(formes)); !put)
    return put;
  return Done{};
}

Status put_strain(const LastFormes& formes, const std::string& label, OutputSet& out) {
  return out.add("strain/" + safe_name(label) + ".svg",
                 strain_svg(formes, fmt::format("formes of the last {}", label)));
}

Status put_tables(const std::vector<FormeRows>& rows, OutputSet& out) {
  std::string lines = kFormeLinesHead;
  std::string points = kFormePointsHead;
  std::string strain = kFormeStrainHead;
  std::string sides = kFormeSidesHead;
  std::string nicks = kFormeNicksHead;
  for (const FormeRows& r : rows) {
    lines += r.lines;
    points += r.points;
    strain += r.strain;
    sides += r.sides;
    nicks += r.nicks;
  }
  for (const auto& [name, text] : {std::pair{"lines.csv", &lines},
                                   {"points.csv", &points},
                                   {"strain.csv", &strain},
                                   {"sides.csv", &sides},
                                   {"nicks.csv", &nicks}}) {
    if (Status put = out.add(name, *text); !put) return put;
  }
  return Done{};
}

void print_formes(const LastSet& set, const FormeBases& bases, const std::vector<FormeRows>& rows) {
  double worst = 0.0;
  double stretch = 0.0;
  double apart = 0.0;
  for (std::size_t b = 0; b < set.bases.size(); ++b) {
    if (!set.on_table[b].good()) fmt::print("note: {}\n", told_of(set.bases[b], set.on_table[b]));
  }
  for (const std::string& note : told_of_style(set.style, file_beside(set.file, set.spec.style)))
    fmt::print("note: {}\n", safe_text(note));
  for (const FormeBase& base : bases) {
    if (!base.formes) continue;
    for (const std::string& note : base.formes->notes) fmt::print("note: {}\n", note);
  }
  for (const FormeRows& r : rows) {
    fmt::print("{}", r.said);
    worst = std::max(worst, r.worst_line);
    stretch = std::max(stretch, r.stretch);
    apart = std::max(apart, r.apart);
  }
  fmt::print(
      "back curve, front line and girths within {:.3f} mm of the last's; 95 % of the skin stretched by less "
      "than {:.1f} %; "
      "outside and inside at most {:.1f} mm apart\n",
      worst, 100.0 * stretch, apart);
  if (apart > kFarApart) {
    fmt::print(
        "note: the sides are more than {:.0f} mm apart: cut them from their own formes rather than from the "
        "mean\n",
        kFarApart);
  }
  for (const Problem& failure : set.failures) fmt::print("refused: {}\n", to_text(failure));
}

// The base whose size and width are the style's own: the style's formes are laid on its.
std::optional<std::size_t> base_of_style(const LastSet& set) {
  const SizeWidth& home = set.style.measures.base().at;
  for (std::size_t b = 0; b < set.bases.size(); ++b) {
    if (same_cell(set.bases[b].at, home)) return b;
  }
  return std::nullopt;
}

// Places of the tied points in each size and width, as they are made.
struct TiedRun {
  std::optional<std::size_t> base;
  std::vector<FormeTie> ties;
  std::vector<std::vector<LastPlaces>> places;  // by job and tie; none for lasts of another base

  void take(const LastSet& set, std::size_t job, const LastFormes& formes) {
    if (set.jobs[job].base != base) return;
    for (const FormeTie& tie : ties)
      places[job].push_back(places_by_last(tie, set.style.spec.formes[tie.forme], formes));
  }
};

Result<RulesBesideLast> rules_of(const LastSet& set, const TiedRun& run) {
  RulesBesideLast rules{run.ties, {}, {}, {}, {}, {}};
  for (std::size_t i = 0; i < set.jobs.size(); ++i) {
    if (run.places[i].empty()) continue;
    rules.measures.insert(set.jobs[i].measures.begin(), set.jobs[i].measures.end());
    Result<std::vector<ComparedForme>> compared =
        compare_rules(set.style, run.ties, set.jobs[i].at, run.places[i]);
    if (!compared)
      return compared.problem().in("width", set.jobs[i].at.width.label).in("size", set.jobs[i].at.size.label);
    for (ComparedForme& one : *compared) rules.compared.push_back(std::move(one));
  }
  for (std::size_t t = 0; t < run.ties.size(); ++t)
    rules.fitted.push_back(fit_rules(set.style, run.ties[t], t, rules.compared));
  std::vector<std::vector<Measured>> values;
  for (const LastResult& r : set.results) {
    if (r.base == run.base) values.push_back(r.values);
  }
  if (run.base) {
    const BaseLast& base = set.bases[*run.base];
    // Where the run has the base's own size and width, its last as the table asks for it: the base as it is
    // given may be off the table.
    const auto home = std::find_if(set.results.begin(), set.results.end(), [&](const LastResult& r) {
      return r.base == run.base && same_cell(r.at, base.at);
    });
    const bool graded = home != set.results.end();
    rules.shares_of = fmt::format("{}{}", label_of(base.at),
                                  graded ? "" : " as the base is given, not graded to the table");
    rules.shares = girth_shares(base.definitions, graded ? home->values : base.values, values);
  }
  return rules;
}

Status put_rules(const LastSet& set, const RulesBesideLast& rules, const LastFormes& base, OutputSet& out) {
  if (Status put = out.add("shares.csv", shares_csv(rules)); !put) return put;
  if (rules.ties.empty()) return Done{};
  if (Status put = out.add("rule_lines.csv", rule_lines_csv(set.style, rules)); !put) return put;
  if (Status put = out.add("rule_points.csv", rule_points_csv(set.style, rules)); !put) return put;
  if (Status put = out.add("rules.json", rules_json(set.style, rules, set.file)); !put) return put;
  return out.add("rules.svg", rules_svg(set.style, rules, base));
}

ExitCode run_formes(FormesOptions& options) {
  const auto start = std::chrono::steady_clock::now();
  options.set.skin.rows = options.set.skin.columns / 2 + 1;
  Checked<LastSet> load = load_last_set(options.file, options.sizes, options.widths, options.set.set);
  if (!load.ok()) return report(load.problems());
  LastSet& set = *load;
  Result<OutputSet> out = OutputSet::begin(options.out, {.force = options.force, .inputs = inputs_of(set)});
  if (!out) return report(out.problem());
  const Result<FormeBases> bases = base_formes(set, options.set);
  if (!bases) return refused_run(set, bases.problem());
  std::vector<FormeRows> rows(set.jobs.size());
  TiedRun tied{base_of_style(set), {}, std::vector<std::vector<LastPlaces>>(set.jobs.size())};
  const bool laid = tied.base && (*bases)[*tied.base].formes;  // the style's formes on those of its base
  if (laid) tied.ties = tie_formes(set.style.spec, *(*bases)[*tied.base].formes);
  const FormeSink sink = [&](std::size_t i, const GradedLast& last, const LastFormes& formes) {
    rows[i] = rows_of(last.at, formes);
    tied.take(set, i, formes);
    const std::string label = label_of(last.at);
    if (Status put = put_formes(formes, label, *out); !put || !options.strain) return put;
    return put_strain(formes, label, *out);
  };
  if (Status done = flatten_set(set, *bases, options.set, sink); !done)
    return refused_run(set, done.problem());
  const std::size_t flattened = set.jobs.size() - set.failures.size();
  if (Status put = put_tables(rows, *out); !put) return report(put.problem());
  for (std::size_t b = 0; b < bases->size(); ++b) {
    if ((*bases)[b].refused) set.failures.insert(set.failures.begin(), *(*bases)[b].refused);
    if (!(*bases)[b].formes) continue;
    const SizeWidth& at = set.bases[b].at;
    const std::string label = fmt::format("base {} {}", at.size.label, at.width.label);
    if (Status put = put_strain(*(*bases)[b].formes, label, *out); !put) return report(put.problem());
  }
  const Result<RulesBesideLast> rules = rules_of(set, tied);
  if (!rules) return report(rules.problem());
  if (laid) {
    if (Status put = put_rules(set, *rules, *(*bases)[*tied.base].formes, *out); !put)
      return report(put.problem());
  }
  const Result<WrittenSet> written = out->commit();
  if (!written) return report(written.problem());
  print_formes(set, *bases, rows);
  fmt::print("{}", rules_said(set.style, *rules));
  if (!tied.base)
    fmt::print("note: no base has the style's own size and width: rules and last are not compared\n");
  else if (!laid)
    fmt::print(
        "note: the base of the style's own size and width cannot be flattened: rules and last are not "
        "compared\n");
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
  fmt::print("{}: formes of {} in {:.1f} s: {}, {:.1f} MB\n", safe_text(options.out),
             counted(flattened, "last"), took.count(), counted(written->files, "file"),
             static_cast<double>(written->bytes) / 1e6);
  return end_of_run(set);
}

}  // namespace

void add_last_formes(Program& app, Action& action) {
  const auto options = std::make_shared<FormesOptions>();
  options->set.set.fine = kFormeMesh;
  Command* command = app.add_subcommand("formes",
                                        "Flatten every graded last to its formes (flat copies of its "
                                        "surface): outside, inside, mean and bottom");
  command->add_option("last", options->file, "the last's file (JSON): bases, targets, own rules")->required();
  command->add_option("--out", options->out, "folder to write into")->required();
  command->add_option("--sizes", options->sizes, "only these sizes")->delimiter(',');
  command->add_option("--widths", options->widths, "only these widths")->delimiter(',');
  command
      ->add_option("--columns", options->set.skin.columns,
                   "columns of the grid that is flattened, from heel to toe")
      ->check(within(21, 241))
      ->capture_default_str();
  command
      ->add_option("--skin", options->set.set.fine,
                   "how closely the triangles that are flattened follow the surfaces, mm")
      ->check(within(0.005, 0.2))
      ->capture_default_str();
  command->add_flag("--keep-feather", options->set.formes.keep_feather,
                    "keep the featherline's length too; the skin is then stretched more elsewhere");
  command->add_flag("--strain", options->strain,
                    "a picture of the strain of every last, not of the bases alone");
  command->add_option("--threads", options->set.set.threads, "worker threads; 0: one per core")
      ->capture_default_str();
  command->add_flag("--keep-going", options->set.set.keep_going,
                    "flatten what can be flattened; list what is refused");
  command->add_flag("--force", options->force, "replace the set of an earlier run");
  command->callback([options, &action] { action = [options] { return run_formes(*options); }; });
}

}  // namespace lastwright
