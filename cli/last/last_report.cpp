#include "cli/last/last_report.hpp"
#include "cli/last/printed.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>

#include "cli/last/commands.hpp"
#include "cli/tables/csv.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/safe_text.hpp"
#include "grading/lasts/rule_table.hpp"
#include "grading/lasts/ties.hpp"

namespace lastwright {

namespace {

std::string cell_of(const SizeWidth& at) {
  return csv_field(at.size.label) + "," + csv_field(at.width.label);
}

}  // namespace

std::string measures_csv(const LastSet& set) {
  std::string out =
      "size,width,measure,definition,mm,asked_mm,difference_mm,skin_mm,bottom_mm,driven,beyond_base,plane_x,"
      "plane_y,"
      "plane_z,plane_mm\n";
  for (const LastResult& r : set.results) {
    const BaseLast& base = set.bases[r.base];
    for (std::size_t i = 0; i < r.values.size(); ++i) {
      const Measured& value = r.values[i];
      const std::string& measure = base.definitions[i].measure;
      const bool has = std::isfinite(r.asked[i]);
      out += fmt::format("{},{},{},{:.4f},{},{},{:.4f},{:.4f},{},{},", cell_of(r.at), measure,
                         value.definition, value.value, has ? fmt::format("{:.4f}", r.asked[i]) : "",
                         has ? fmt::format("{:.4f}", printed(value.value - r.asked[i], 4)) : "", value.skin,
                         value.bottom, driven(set, measure) ? "yes" : "no", r.beyond ? "yes" : "no");
      // The plane as unit normal and distance from the origin, so that others can cut there.
      out += value.plane ? fmt::format("{:.9f},{:.9f},{:.9f},{:.6f}\n", value.plane->normal.x,
                                       value.plane->normal.y, value.plane->normal.z, value.plane->offset)
                         : std::string(",,,\n");
    }
  }
  return out;
}

std::string ties_csv(const LastSet& set) {
  std::string out =
      "size,width,girth,definition,last_upper_mm,formes_upper_mm,last_bottom_mm,formes_bottom_mm,"
      "last_upper_change_mm,formes_upper_change_mm,last_bottom_change_mm,formes_bottom_change_mm\n";
  for (const LastResult& r : set.results) {
    const BaseLast& base = set.bases[r.base];
    const std::vector<GirthTie> home = ties_of(set.style, base.at, base.definitions, base.values);
    const std::vector<GirthTie> ties = ties_of(set.style, r.at, base.definitions, r.values);
    for (std::size_t i = 0; i < ties.size(); ++i) {
      const GirthTie& t = ties[i];
      out += fmt::format("{},{},{},{:.4f},{:.4f},{:.4f},{:.4f},{:.4f},{:.4f},{:.4f},{:.4f}\n", cell_of(r.at),
                         t.girth, t.definition, t.last_upper, t.formes_upper, t.last_bottom, t.formes_bottom,
                         t.last_upper - home[i].last_upper, t.formes_upper - home[i].formes_upper,
                         t.last_bottom - home[i].last_bottom, t.formes_bottom - home[i].formes_bottom);
    }
  }
  return out;
}

namespace {

// How far the last's changes and the formes' part at worst, for each girth.
void print_ties(const LastSet& set) {
  std::map<std::string, std::pair<double, double>> worst;
  for (const LastResult& r : set.results) {
    const BaseLast& base = set.bases[r.base];
    const std::vector<GirthTie> home = ties_of(set.style, base.at, base.definitions, base.values);
    const std::vector<GirthTie> ties = ties_of(set.style, r.at, base.definitions, r.values);
    for (std::size_t i = 0; i < ties.size(); ++i) {
      auto& [upper, bottom] = worst[ties[i].girth];
      upper = std::max(upper, std::abs(ties[i].last_upper - home[i].last_upper - ties[i].formes_upper +
                                       home[i].formes_upper));
      bottom = std::max(bottom, std::abs(ties[i].last_bottom - home[i].last_bottom - ties[i].formes_bottom +
                                         home[i].formes_bottom));
    }
  }
  if (worst.empty()) return;
  fmt::print("\nlast against the patterns' formes, change from the base, worst of the run:\n");
  for (const auto& [girth, off] : worst) {
    fmt::print("{:<14} upper {:.3f} mm, bottom {:.3f} mm apart\n", girth, off.first, off.second);
  }
}

// The base beside the table, how far the run is off it at most, and what a size and a width more change.
void print_run_measures(const LastSet& set) {
  const SizeWidth& base_at = set.style.measures.base().at;
  const BaseLast& first = set.bases.front();
  fmt::print(
      "\nthe base {} beside what the table asks in its own size and width; of the run, what is off most\n"
      "{:<14} {:>9} {:>9} {:>10}   per size  per width   {}\n",
      label_of(first.at), "measure", "base last", "table", "worst off", "definition");
  for (std::size_t i = 0; i < first.definitions.size(); ++i) {
    double worst = 0.0;
    bool any = false;
    const LastResult* home = nullptr;
    const LastResult* size_up = nullptr;
    const LastResult* width_up = nullptr;
    for (const LastResult& r : set.results) {
      if (std::isfinite(r.asked[i])) {
        any = true;
        worst = std::max(worst, std::abs(r.values[i].value - r.asked[i]));
      }
      const double ds = (r.at.size - base_at.size).count.value();
      const double dw = (r.at.width - base_at.width).count.value();
      if (ds == 0.0 && dw == 0.0) home = &r;
      if (ds == 1.0 && dw == 0.0) size_up = &r;
      if (ds == 0.0 && dw == 1.0) width_up = &r;
    }
    const auto step = [&](const LastResult* to) {
      // Rounded before it is printed, or nothing would show as -0.000.
      return home && to
                 ? fmt::format("{:>8.3f}",
                               std::round(1e3 * (to->values[i].value - home->values[i].value)) / 1e3 + 0.0)
                 : std::string("        ");
    };
    const std::optional<double> of_base = asked_of_base(first, i, set.spec, set.style.measures);
    const std::string asked = of_base ? fmt::format("{:.3f}", *of_base) : "";
    fmt::print("{:<14} {:>9.3f} {:>9} {:>10}   {}   {}   {}\n", first.definitions[i].measure,
               first.values[i].value, asked, any ? fmt::format("{:.4f}", worst) : "", step(size_up),
               step(width_up), first.values[i].definition);
  }
  for (const auto& [measure, definition] : set.spec.table_definitions) {
    if (!set.jobs.front().unlike.contains(measure)) continue;
    fmt::print("{}: the table takes it by {}: not compared\n", measure, definition);
  }
}

// What is worst of the run: how far off the written forms are, and how far the fields bend.
void print_run_worst(const LastSet& set, const LastRunExtra& extra) {
  double target = 0.0;
  double refit = 0.0;
  double factor = 1e9;
  double added = 0.0;
  double low = 1e9;
  double high = 0.0;
  double reread = -1.0;
  for (const double worst : extra.reread) reread = std::max(reread, worst);
  std::size_t beyond = 0;
  int steps = 0;
  for (const LastResult& r : set.results) {
    target = std::max(target, r.worst_target);
    refit = std::max(refit, r.refit_error);
    factor = std::min(factor, r.soundness.least_factor);
    added = std::max(added, r.soundness.added_curvature);
    low = std::min(low, r.soundness.lowest_field);
    high = std::max(high, r.soundness.highest_field);
    beyond += r.beyond;
    steps = std::max(steps, r.steps);
  }
  const bool meshes =
      std::any_of(set.bases.begin(), set.bases.end(), [](const BaseLast& b) { return b.body.facets; });
  fmt::print("\nworst target on the written form {:.4f} mm, {} {:.4f} mm, at most {} solver steps\n", target,
             meshes ? "flat triangles off the exact grade by at most" : "refit", refit, steps);
  if (reread >= 0.0)
    fmt::print("worst target on the files read back {:.4f} mm; all valid and closed\n", reread);
  fmt::print(
      "least width or height factor {:.3f}, widths and heights {:.3f} to {:.3f} times the proportional "
      "grade, curvature added at most {:.5f} per mm\n",
      factor, low, high, added);
  if (beyond > 0) {
    fmt::print("{} beyond {} sizes or {} widths from {}, or add a base\n",
               counted(beyond, "last lies", "lasts lie"), set.spec.sound_sizes, set.spec.sound_widths,
               beyond == 1 ? "its base: have a last maker look at it"
                           : "their base: have a last maker look at them");
  }
}

}  // namespace

ExitCode refused_run(const LastSet& set, const Problem& problem) {
  print_notes(set);
  std::fflush(stdout);
  return report(problem);
}

void print_notes(const LastSet& set) {
  for (const BaseLast& base : set.bases) {
    for (const std::string& note : base.body.notes) fmt::print("note: {}\n", safe_text(note));
  }
}

void print_summary(const LastSet& set, const LastRunExtra& extra, const std::string& folder) {
  print_notes(set);
  for (const BaseLast& base : set.bases) {
    fmt::print("base {} {}: a {} last, stick {:.2f} mm\n", base.at.size.label, base.at.width.label,
               name_of(base.standing.foot), base.standing.length);
  }
  for (const Problem& p : set.failures) fmt::print("refused: {}\n", to_text(p));
  if (set.results.empty()) return;
  print_run_measures(set);
  print_ties(set);
  print_run_worst(set, extra);
  fmt::print("written: {}\n", folder);
}

ExitCode end_of_run(const LastSet& set) {
  const std::vector<std::string> failed = failed_bases(set);
  for (const std::string& base : failed) fmt::print("FAILED: {}, see the note\n", base);
  bool contradicted = false;
  for (const RuleMiss& miss : rules_off_table(set)) {
    contradicted = contradicted || miss.failed();
    fmt::print("{}: {}\n", miss.failed() ? "FAILED" : "LOOK", safe_text(told_of(miss, set)));
  }
  if (!set.failures.empty()) return ExitCode::kCannotGrade;
  return failed.empty() && !contradicted ? ExitCode::kOk : ExitCode::kCheckFailed;
}

}  // namespace lastwright
