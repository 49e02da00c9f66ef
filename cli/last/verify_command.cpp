// Checks a scanned or delivered last against its style's table.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <memory>
#include <optional>

#include "cli/files/write_file.hpp"
#include "cli/last/commands.hpp"
#include "cli/last/deviation_picture.hpp"
#include "cli/last/printed.hpp"
#include "cli/last/verify_result.hpp"
#include "cli/print.hpp"
#include "geometry/io/safe_text.hpp"
#include "grading/lasts/verify_last.hpp"

namespace lastwright {

namespace {

struct VerifyOptions {
  std::string file;
  std::string scan;
  std::string size;
  std::string width;
  std::string unit;  // of a mesh: mm, cm, m or in
  bool mirrored = false;
  double tolerance = 0.5;  // mm: common practice, no published figure was found
  // mm: one standard deviation of the scanner's bias, as its maker states it; 0.02 for a mesh, 0 for STEP
  std::optional<double> scanner;
  std::string pair;  // scan of the mate
  std::string picture;
  std::string format = "text";
  bool force = false;
  [[nodiscard]] bool text() const { return format == "text"; }
};

constexpr double kScanner = 0.02;  // mm, unless --scanner says more

Result<ScanFile> read_and_tell(const VerifyOptions& options, const std::string& path, bool mirrored) {
  Result<ScanFile> scan = read_scan(path, options.unit, mirrored);
  if (scan && !scan->exact && options.text()) {
    fmt::print("{}: {} points, {} triangles{}\n", safe_text(path), scan->own, scan->triangles,
               scan->open_sides == 0 ? ", watertight" : fmt::format(", {} open sides", scan->open_sides));
  }
  return scan;
}

void print_measures(const std::vector<VerifiedMeasure>& rows, const BaseLast& base, const Body& nominal,
                    double length) {
  fmt::print("{:<14} {:>9} {:>9} {:>9} {:>6}  {:<13} {}\n", "measure", "scan", "nominal", "off", "+-",
             "verdict", "definition");
  for (const VerifiedMeasure& row : rows) {
    const MeasureDefinition& d = base.definitions[row.index];
    const ScannedMeasure& m = row.scanned;
    fmt::print("{:<14} {:>9.3f} {:>9.3f} {:>+9.3f} {:>6.3f}  {:<13} {}{}\n", d.measure, m.value, row.wanted,
               printed(m.value - row.wanted, 3), row.uncertainty, name_of(row.verdict), m.definition,
               told_gaps(m, nominal, length, base.standing.foot));
    if (d.method == Method::kExtent && row.verdict == LastVerdict::kFail) {
      fmt::print("the length fails: what follows is measured at the stations of another length\n");
    }
  }
}

void print_best_fit(const BestFit& best) {
  fmt::print(
      "best fit: size {} width {}, off by {:.2f} of the tolerance (root mean square){}\n", best.at.size.label,
      best.at.width.label, best.misses,
      best.as_claimed ? ", as claimed" : "; this is NOT what it is claimed to be. Verify it against that");
}

// What the scan does not show and what of it no measure takes.
void print_cover(const VerifyResult& result, const BaseLast& base) {
  if (result.cover.holes.empty()) {
    fmt::print("surface: all of the last is scanned, every place within {} mm of a point\n", kSeenWithin);
  } else {
    const std::string names = with_gaps(result.measures, base);
    fmt::print("not verified: {}. The form is not verified there, {}\n",
               told_holes(result.cover, result.length, result.foot),
               names.empty() ? std::string("and no measure is taken there")
                             : "and it is not seen where these measures are taken: " + names);
  }
  if (const std::string left =
          told_left_out(result.cover, result.beyond, result.left_out, result.length, result.foot);
      !left.empty())
    fmt::print("note: {}\n", left);
}

// What no verdict covers, after the measures.
void print_not_judged(const VerifyResult& result, const BaseLast& base) {
  std::string names;
  for (const std::size_t i : result.not_verified)
    names += (names.empty() ? "" : ", ") + base.definitions[i].measure;
  if (!names.empty()) fmt::print("not verified: {}\n", names);
  print_cover(result, base);
  if (!result.form) {
    fmt::print("form: not told, too few points lie together\n");
    return;
  }
  fmt::print("form, not judged: {}\n", told_of(*result.form));
  if (const std::string note = form_note(*result.form, result.tolerance); !note.empty())
    fmt::print("note: {}\n", note);
}

// The last line where all is well: what was judged, and what was not.
std::string passes(const VerifyResult& result) {
  std::string form;
  if (result.form) {
    const bool look = !form_note(*result.form, result.tolerance).empty();
    form = fmt::format("; its form elsewhere, not judged, lies {:+.2f} to {:+.2f} mm off{}",
                       result.form->least.off, result.form->most.off, look ? ": LOOK AT IT" : "");
  }
  return fmt::format(
      "the last passes by its measures: each above lies within {} mm of its nominal value, its "
      "uncertainty included{}{}",
      result.tolerance, form,
      result.cover.holes.empty()
          ? std::string()
          : fmt::format("; {} of its surface is not scanned", percent_of(result.cover.unseen)));
}

// The scan of the mate measured on the same last, and printed.
Result<std::vector<PairMeasure>> compare_pair(const VerifyOptions& options, ScanFile mate,
                                              const BaseLast& base, const Body& nominal,
                                              const std::vector<VerifiedMeasure>& ours) {
  const Result<ScanFit> fit = registered(nominal, std::move(mate), options.pair, FootSaid::kMate);
  if (!fit) return fit.problem();
  const Result<std::vector<VerifiedMeasure>> theirs = measured_on_scan(base, nominal, *fit, 0.0);
  if (!theirs) return theirs.problem();
  std::vector<PairMeasure> pair = compared_pair(ours, *theirs, options.tolerance);
  if (!options.text()) return pair;
  fmt::print("\nagainst its mate, root mean square {:.3f} mm\n{:<14} {:>9} {:>9} {:>9} {:>6}  {}\n", fit->rms,
             "measure", "this", "mate", "apart", "+-", "verdict");
  for (const PairMeasure& row : pair) {
    fmt::print("{:<14} {:>9.3f} {:>9.3f} {:>+9.3f} {:>6.3f}  {}\n", base.definitions[row.index].measure,
               row.one, row.mate, printed(row.one - row.mate, 3), row.uncertainty, name_of(row.verdict));
  }
  return pair;
}

DeviationNotes notes_of(const VerifyOptions& options, const std::vector<VerifiedMeasure>& rows,
                        const BaseLast& base, const GradedLast& nominal, const ScanFit& fit) {
  DeviationNotes notes;
  notes.title =
      fmt::format("{} on size {} width {}{}: root mean square {:.3f} mm, tolerance {} mm",
                  std::filesystem::path(options.scan).filename().string(), nominal.at.size.label,
                  nominal.at.width.label, options.mirrored ? ", mirrored" : "", fit.rms, options.tolerance);
  for (const VerifiedMeasure& row : rows) {
    const std::string& measure = base.definitions[row.index].measure;
    const bool shown = measure == "ball girth" || measure == "waist girth" || measure == "instep girth";
    notes.measures.push_back({measure, row.scanned.value - row.wanted, row.uncertainty, name_of(row.verdict),
                              shown ? nominal.values[row.index].plane : std::nullopt});
  }
  return notes;
}

OutputOptions picture_options(const VerifyOptions& options, const LastSet& set) {
  OutputOptions picture{.force = options.force, .inputs = inputs_of(set)};
  picture.inputs.push_back(options.scan);
  if (!options.pair.empty()) picture.inputs.push_back(options.pair);
  return picture;
}

ExitCode run_verify(const VerifyOptions& options) {
  // Files that are no scans are told before the work.
  Result<ScanFile> scan = read_and_tell(options, options.scan, options.mirrored);
  if (!scan) return report(scan.problem());
  std::optional<ScanFile> mate;
  if (!options.pair.empty()) {
    Result<ScanFile> read = read_and_tell(options, options.pair, !options.mirrored);
    if (!read) return report(read.problem());
    mate = std::move(*read);
  }
  LastSetOptions set_options;
  set_options.run.gates = false;  // a last that was made is measured, whatever one would say of making it
  Checked<LastSet> load = load_last_set(options.file, {options.size}, {options.width}, set_options);
  if (!load.ok()) return report(load.problems());
  const LastSet& set = *load;
  const OutputOptions picture = picture_options(options, set);
  if (!options.picture.empty()) {  // before the work, so that nobody waits for a picture that cannot be put
    if (Status may = may_write_file(options.picture, picture); !may) return report(may.problem());
  }
  const LastJob& job = set.jobs.front();
  const BaseLast& base = set.bases[job.base];
  if (Status long_enough = length_of_last(*scan, base, job, options.scan); !long_enough)
    return report(long_enough.problem());
  if (mate) {
    if (Status long_enough = length_of_last(*mate, base, job, options.pair); !long_enough)
      return report(long_enough.problem());
  }
  const Result<BodyPlan> plan = plan_body(base, {&job}, set_options.run.refit);
  if (!plan) return report(plan.problem());
  const Result<GradedLast> nominal = grade_last(base, *plan, job, set.style.measures, set_options.run);
  if (!nominal) return report(nominal.problem());
  VerifyResult result;
  result.scan = options.scan;
  result.claimed = job.at;
  result.tolerance = options.tolerance;
  result.notes = base.body.notes;
  result.length = base.standing.length * nominal->map.stretch;
  result.foot = base.standing.foot;
  for (const Problem& doubt : nominal->soundness.failures)
    result.notes.push_back(fmt::format("a grade of this base would be refused here: {}", to_text(doubt)));
  if (options.text()) {
    for (const std::string& note : result.notes) fmt::print("note: {}\n", note);
  }
  const double of_scanner = options.scanner.value_or(scan->exact ? 0.0 : kScanner);
  // Flat triangles push points inward as a bias of the scanner does.
  const double scanner = std::hypot(of_scanner, scan->sag);
  const Result<ScanFit> fit = registered(nominal->body, *scan, options.scan,
                                         options.mirrored ? FootSaid::kMirrored : FootSaid::kOfFile);
  if (!fit) return report(fit.problem());
  if (options.text()) {
    fmt::print("registered to size {} width {}: root mean square {:.3f} mm\n", job.at.size.label,
               job.at.width.label, fit->rms);
    fmt::print("tolerance {} mm; uncertainty for two standard deviations, scanner {} mm{}\n\n",
               options.tolerance, of_scanner,
               scan->sag >= 0.005
                   ? fmt::format(", its flat triangles {:.3f} mm inside the surface", scan->sag)
                   : std::string());
  }
  Result<std::vector<VerifiedMeasure>> rows = measured_on_scan(base, nominal->body, *fit, scanner);
  if (!rows) return report(rows.problem());
  judge_measures(*rows, base, *nominal, options.tolerance);
  if (options.text()) print_measures(*rows, base, nominal->body, result.length);
  result.not_verified = not_verified(*rows, base);
  result.form = form_deviation(*fit, nominal->body, result.length, base.standing.foot);
  result.cover = cover_of(*fit, nominal->body);
  result.left_out = fit->left_out;
  result.beyond = fit->beyond;
  const auto any = [&rows](LastVerdict verdict) {
    return std::any_of(rows->begin(), rows->end(),
                       [&](const VerifiedMeasure& row) { return row.verdict == verdict; });
  };
  bool failed = any(LastVerdict::kFail);
  const bool unsure = any(LastVerdict::kInconclusive);
  if (const auto best = best_fit(set, *rows, base, *nominal, options.tolerance))
    result.best = settled_fit(set, *scan, scanner, options.tolerance, *best, set_options.run);
  if (result.best && options.text()) print_best_fit(*result.best);
  if (mate) {
    Result<std::vector<PairMeasure>> pair =
        compare_pair(options, *std::move(mate), base, nominal->body, *rows);
    if (!pair) return report(pair.problem());
    result.pair = std::move(*pair);
    failed = failed || std::any_of(result.pair.begin(), result.pair.end(),
                                   [](const PairMeasure& row) { return row.verdict == LastVerdict::kFail; });
  }
  if (!options.picture.empty()) {
    const std::string svg = deviation_svg(*fit, nominal->body, result.length, base.standing.foot,
                                          notes_of(options, *rows, base, *nominal, *fit));
    if (Status put = write_file_whole(options.picture, svg, picture); !put) return report(put.problem());
  }
  result.measures = std::move(*rows);
  if (options.text()) print_not_judged(result, base);
  const ExitCode code = failed || unsure ? ExitCode::kCheckFailed : ExitCode::kOk;
  if (!options.text()) {
    if (std::string note = result.form ? form_note(*result.form, options.tolerance) : std::string();
        !note.empty())
      result.notes.push_back(std::move(note));
    result.scanner = of_scanner;
    result.rms = fit->rms;
    if (std::string left =
            told_left_out(result.cover, result.beyond, result.left_out, result.length, result.foot);
        !left.empty())
      result.notes.push_back(std::move(left));
    if (std::string holes = told_holes(result.cover, result.length, result.foot); !holes.empty())
      result.notes.push_back("not verified: " + holes);
    result.verdict = failed ? LastVerdict::kFail : unsure ? LastVerdict::kInconclusive : LastVerdict::kPass;
    const ExitCode put = print_result(options.format == "csv" ? verify_csv(result, base, nominal->body)
                                                              : verify_json(result, base, nominal->body));
    return put == ExitCode::kOk ? code : put;
  }
  fmt::print("{}\n", failed   ? std::string("the last FAILS")
                     : unsure ? "inconclusive: of a measure too little is scanned, or its uncertainty "
                                "reaches beyond a limit; see the lines marked so"
                              : passes(result));
  return code;
}

}  // namespace

void add_last_verify(Program& app, Action& action) {
  const auto options = std::make_shared<VerifyOptions>();
  Command* command = app.add_subcommand("verify", "Check a scanned or delivered last against the table");
  command->add_option("last", options->file, "the last's file (JSON)")->required();
  command->add_option("scan", options->scan, "scan (STL, PLY, OBJ, 3MF) or STEP file of the last to check")
      ->required();
  command->add_option("--size", options->size, "size that is stamped on it")->required();
  command->add_option("--width", options->width, "width that is stamped on it")->required();
  command->add_option("--unit", options->unit, "unit of an STL, PLY or OBJ file, which does not say")
      ->check(one_of({"mm", "cm", "m", "in"}));
  command->add_option("--format", options->format, "text, csv or json")
      ->check(one_of({"text", "csv", "json"}))
      ->capture_default_str();
  command->add_flag("--mirrored", options->mirrored,
                    "the scan is of the other foot than the last in the file");
  command
      ->add_option("--tolerance", options->tolerance,
                   "how far a measure may deviate from the table, and left from right (--pair), in mm")
      ->check(within(1e-6, 1000.0))
      ->capture_default_str();
  command
      ->add_option(
          "--scanner", options->scanner,
          "one standard deviation of the scanner's bias, mm; unless given 0.02 for a mesh, 0 for STEP")
      ->check(within(0.0, 1000.0));
  command->add_option("--pair", options->pair,
                      "scan of its mate, the last of the other foot: left against right");
  command->add_option("--picture", options->picture, "a picture FILE (SVG) of the deviations");
  command->add_flag("--force", options->force, "replace an earlier picture");
  command->callback([options, &action] { action = [options] { return run_verify(*options); }; });
}

}  // namespace lastwright
