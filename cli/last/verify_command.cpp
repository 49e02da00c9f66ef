// Checks a scanned or delivered last against its style's table.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <memory>
#include <optional>

#include "cli/kernel_time.hpp"
#include "cli/last/commands.hpp"
#include "cli/last/deviation_picture.hpp"
#include "cli/last/last_set.hpp"
#include "cli/last/solid_file.hpp"
#include "cli/safe_text.hpp"
#include "cli/write_file.hpp"
#include "geometry/last/scan_fit.hpp"
#include "geometry/last/stl.hpp"

namespace lastwright {

namespace {

struct VerifyOptions {
  std::string file;
  std::string scan;
  std::string size;
  std::string width;
  std::string unit;  // STL: mm, cm or in
  bool mirrored = false;
  double tolerance = 0.5;  // mm: common practice, no published figure was found
  // mm: one standard deviation of the scanner's bias, as its maker states it; 0.02 for a mesh, 0 for STEP
  std::optional<double> scanner;
  std::string pair;  // scan of the mate
  std::string picture;
  bool force = false;
};

constexpr double kScanner = 0.02;
constexpr double kSpacing = 1.0;  // mm: what a scan has; coarser meshes are filled up, on their chords

enum class Verdict { kPass, kFail, kInconclusive };
const char* name_of(Verdict v) {
  return v == Verdict::kPass ? "pass" : v == Verdict::kFail ? "FAIL" : "inconclusive";
}
Verdict judge(double off, double uncertainty, double tolerance, double covered) {
  // With a twentieth of the section missing the tape cannot be told.
  if (!(covered >= 0.95) || !std::isfinite(off)) return Verdict::kInconclusive;
  if (std::abs(off) + uncertainty <= tolerance) return Verdict::kPass;
  if (std::abs(off) - uncertainty > tolerance) return Verdict::kFail;
  return Verdict::kInconclusive;
}

struct ScanFile {
  std::vector<Vec3> points;
  std::size_t own = 0;  // the first so many come from the file, the rest was filled in between
  bool exact = false;   // surfaces, not a scanner's points
};

Result<ScanFile> scan_points(const VerifyOptions& options, const std::string& path, bool mirrored) {
  const Result<std::string> bytes = read_bytes(path);
  if (!bytes) return bytes.problem();
  ScanFile file;
  if (is_step(*bytes)) {
    const KernelTime limited(kernel_seconds(bytes->size()));
    const Result<KernelShape> shape = read_step(*bytes);
    if (!shape) return shape.problem().in_file(path);
    // The mesh only spreads the points; coarser ones reach out of hollow rims.
    const Result<Body> body = to_body(*shape, 0.05);
    if (!body) return body.problem().in_file(path);
    file.points = surface_points(*body, kSpacing);
    file.own = file.points.size();
    file.exact = true;
  } else {
    const Result<double> millimetres = stl_unit(options.unit, path);
    if (!millimetres) {
      // What is no STL file at all needs no unit either.
      const Result<StlRead> any = read_stl(*bytes, 1.0);
      return any ? millimetres.problem() : any.problem().in_file(path);
    }
    const Result<StlRead> read = read_stl(*bytes, *millimetres);
    if (!read) return read.problem().in_file(path);
    fmt::print("{}: {} points, {} triangles{}\n", safe_text(path), read->mesh.points.size(),
               read->mesh.triangles.size(),
               read->open_sides == 0 ? ", watertight" : fmt::format(", {} open sides", read->open_sides));
    Result<std::vector<Vec3>> points = spread_points(read->mesh, kSpacing);
    if (!points) return points.problem().in_file(path);
    file.points = std::move(*points);
    file.own = read->mesh.points.size();
  }
  if (mirrored) {
    for (Vec3& p : file.points) p.y = -p.y;
  }
  return file;
}

// Refuses a scan whose length says that it is none of this last, before the last is graded and the scan is
// laid on it: both cost seconds. What is left of a last may be much shorter than it; nothing makes it much
// longer.
Status length_of_last(const ScanFile& scan, const BaseLast& base, const LastJob& job,
                      const std::string& path) {
  constexpr double kShortest = 0.55;
  constexpr double kLongest = 1.35;
  const double wanted = longest_axis(surface_points(base.body, 4.0)) * job.prior.stretch;
  const double found = longest_axis(scan.points);
  if (found >= kShortest * wanted && found <= kLongest * wanted) return Done{};
  return not_as_long(found, wanted).in_file(path);
}

// Registers a scan; one that fits the other foot's last far better is refused rather than judged.
Result<ScanFit> registered(const Body& nominal, ScanFile scan, const std::string& path) {
  constexpr double kClose = 0.7;  // mm: a last of the other foot lies farther off than this
  ScanFitOptions options;
  options.own = scan.own;
  Result<ScanFit> fit = fit_scan(nominal, scan.points, options);
  if (fit && fit->rms < kClose) return fit;
  for (Vec3& p : scan.points) p.y = -p.y;
  const Result<ScanFit> other = fit_scan(nominal, scan.points, options);
  if (other && (!fit || other->rms < 0.6 * fit->rms)) {
    return Problem{Trouble::kBadValue,
                   "the scan fits the last of the other foot far better: for one of that foot say --mirrored",
                   {},
                   fit ? std::optional<double>(fit->rms) : std::nullopt,
                   other->rms}
        .in_file(path);
  }
  if (!fit) return fit.problem().in_file(path);
  return fit;
}

struct Row {
  const MeasureDefinition* definition;
  std::size_t index;  // in the base's definitions
  ScannedMeasure scanned;
  double bias = 0.0;  // what a bias of the scanner of one standard deviation does to it, mm
};

// What can be measured on a scan, the length first.
Result<std::vector<Row>> rows_of(const BaseLast& base, const Body& nominal, const ScanFit& fit,
                                 double scanner) {
  std::vector<Row> rows;
  std::vector<MeasureDefinition> taken;
  for (std::size_t i = 0; i < base.definitions.size(); ++i) {
    const MeasureDefinition& d = base.definitions[i];
    const bool girth = d.method == Method::kPlaneHull;
    if (!girth && d.method != Method::kDistance && d.method != Method::kExtent) continue;
    if (d.measure == "toe thickness") continue;  // between two faces that the residual field treats apart
    // A bias pushes every point outward alike: 2 pi of it on a girth, twice on a width.
    rows.push_back({&d, i, {}, scanner * (girth ? 6.283185307 : 2.0)});
    taken.push_back(d);
  }
  const Result<std::vector<ScannedMeasure>> scanned = scanned_measures(taken, nominal, base.landmarks, fit);
  if (!scanned) return scanned.problem();
  for (std::size_t i = 0; i < rows.size(); ++i) rows[i].scanned = (*scanned)[i];
  return rows;
}

// The size and width of the run whose table comes nearest to what was measured, each miss in tolerances.
void print_best_fit(const LastSet& set, const std::vector<std::pair<std::string, double>>& found,
                    double tolerance, const SizeWidth& claimed) {
  const auto misses = [&](const SizeWidth& at) {
    double sum = 0.0;
    for (const auto& [measure, value] : found) {
      const double off = value - set.tables.table.value(*set.tables.table.index(measure), at);
      sum += off * off / (tolerance * tolerance);
    }
    return sum;
  };
  // Only what fits better than the claim speaks against it: a length alone fits every width alike.
  const SizeWidth* best = &claimed;
  double least = misses(claimed);
  const std::vector<SizeWidth> cells = set.tables.run.cells();
  for (const SizeWidth& at : cells) {
    if (const double sum = misses(at); sum < least - 1e-9) {
      least = sum;
      best = &at;
    }
  }
  if (found.empty()) return;
  const bool same =
      best->size.position == claimed.size.position && best->width.position == claimed.width.position;
  fmt::print("best fit: size {} width {}, misses {:.2f} tolerances (rms){}\n", best->size.label,
             best->width.label, std::sqrt(least / static_cast<double>(found.size())),
             same ? ", as claimed" : ": NOT what it is claimed to be; verify it against that");
}

// Left against right: the mate's scan, mirrored, measured on the same nominal last. The scanner's bias is the
// same in both and drops out. False when a difference is surely over the tolerance.
Result<bool> compare_pair(const VerifyOptions& options, ScanFile mate, const BaseLast& base,
                          const Body& nominal, const std::vector<Row>& ours) {
  const Result<ScanFit> fit = registered(nominal, std::move(mate), options.pair);
  if (!fit) return fit.problem();
  const Result<std::vector<Row>> theirs = rows_of(base, nominal, *fit, 0.0);
  if (!theirs) return theirs.problem();
  bool alike = true;
  fmt::print("\nagainst its mate, rms {:.3f} mm\n{:<14} {:>9} {:>9} {:>9} {:>6}  {}\n", fit->rms, "measure",
             "this", "mate", "apart", "+-", "verdict");
  for (std::size_t i = 0; i < ours.size(); ++i) {
    const ScannedMeasure& a = ours[i].scanned;
    const ScannedMeasure& b = (*theirs)[i].scanned;
    const double uncertainty = 2.0 * std::hypot(a.noise, b.noise);
    const Verdict verdict =
        judge(a.value - b.value, uncertainty, options.tolerance, std::min(a.covered, b.covered));
    alike = alike && verdict != Verdict::kFail;
    fmt::print("{:<14} {:>9.3f} {:>9.3f} {:>+9.3f} {:>6.3f}  {}\n", ours[i].definition->measure, a.value,
               b.value, a.value - b.value, uncertainty, name_of(verdict));
  }
  return alike;
}

OutputOptions picture_options(const VerifyOptions& options, const LastSet& set) {
  OutputOptions picture{.force = options.force, .inputs = inputs_of(set)};
  picture.inputs.push_back(options.scan);
  if (!options.pair.empty()) picture.inputs.push_back(options.pair);
  return picture;
}

ExitCode run_verify(const VerifyOptions& options) {
  // Files that are none are told before the work.
  Result<ScanFile> scan = scan_points(options, options.scan, options.mirrored);
  if (!scan) return report(scan.problem());
  std::optional<ScanFile> mate;
  if (!options.pair.empty()) {
    Result<ScanFile> read = scan_points(options, options.pair, !options.mirrored);
    if (!read) return report(read.problem());
    mate = std::move(*read);
  }
  LastSetOptions set_options;
  const Result<LastSet> set = load_last_set(options.file, {options.size}, {options.width}, set_options);
  if (!set) return report(set.problem());
  const OutputOptions picture = picture_options(options, *set);
  if (!options.picture.empty()) {  // before the work, so that nobody waits for a picture that cannot be put
    if (Status may = may_write_file(options.picture, picture); !may) return report(may.problem());
  }
  const LastJob& job = set->jobs.front();
  const BaseLast& base = set->bases[job.base];
  if (Status long_enough = length_of_last(*scan, base, job, options.scan); !long_enough)
    return report(long_enough.problem());
  if (mate) {
    if (Status long_enough = length_of_last(*mate, base, job, options.pair); !long_enough)
      return report(long_enough.problem());
  }
  const Result<BodyPlan> plan = plan_body(base, {&job}, set_options.run.refit);
  if (!plan) return report(plan.problem());
  const Result<GradedLast> nominal = grade_last(base, *plan, job, set->tables.table, set_options.run);
  if (!nominal) return report(nominal.problem());
  const double scanner = options.scanner.value_or(scan->exact ? 0.0 : kScanner);
  const Result<ScanFit> fit = registered(nominal->body, *scan, options.scan);
  if (!fit) return report(fit.problem());
  fmt::print("registered to size {} width {}: rms {:.3f} mm\n", job.at.size.label, job.at.width.label,
             fit->rms);
  fmt::print("tolerance {} mm; uncertainty for two standard deviations, scanner {} mm\n\n", options.tolerance,
             scanner);
  fmt::print("{:<14} {:>9} {:>9} {:>9} {:>6}  {:<13} {}\n", "measure", "scan", "nominal", "off", "+-",
             "verdict", "definition");

  const Result<std::vector<Row>> rows = rows_of(base, nominal->body, *fit, scanner);
  if (!rows) return report(rows.problem());
  bool failed = false;
  bool unsure = false;
  std::vector<std::pair<std::string, double>> found;
  DeviationNotes notes;
  notes.title =
      fmt::format("{} on size {} width {}{}: root mean square {:.3f} mm, tolerance {} mm",
                  std::filesystem::path(options.scan).filename().string(), job.at.size.label,
                  job.at.width.label, options.mirrored ? ", mirrored" : "", fit->rms, options.tolerance);
  for (const Row& row : *rows) {
    const MeasureDefinition& d = *row.definition;
    const ScannedMeasure& m = row.scanned;
    // Heel girths are outcomes of the grade: the nominal last's own, not the table's.
    const bool derived = d.measure == "short heel" || d.measure == "long heel";
    const double asked = nominal->asked[row.index];
    const double wanted = std::isfinite(asked) && !derived ? asked : nominal->values[row.index].value;
    const double uncertainty = 2.0 * std::hypot(m.noise, row.bias);
    const Verdict verdict = judge(m.value - wanted, uncertainty, options.tolerance, m.covered);
    failed = failed || verdict == Verdict::kFail;
    unsure = unsure || verdict == Verdict::kInconclusive;
    fmt::print("{:<14} {:>9.3f} {:>9.3f} {:>+9.3f} {:>6.3f}  {:<13} {}{}\n", d.measure, m.value, wanted,
               m.value - wanted, uncertainty, name_of(verdict), m.definition,
               m.covered < 0.95 ? fmt::format(", only {:.0f} % covered", 100.0 * m.covered) : "");
    const bool shown = d.measure == "ball girth" || d.measure == "waist girth" || d.measure == "instep girth";
    notes.measures.push_back({d.measure, m.value - wanted, uncertainty, name_of(verdict),
                              shown ? nominal->values[row.index].plane : std::nullopt});
    if (d.method == Method::kExtent && verdict == Verdict::kFail) {
      fmt::print("the length fails: what follows is measured at the stations of another length\n");
    }
    if (set->tables.table.index(d.measure) && m.covered >= 0.95 && !derived && std::isfinite(asked)) {
      found.emplace_back(d.measure, m.value);
    }
  }
  print_best_fit(*set, found, options.tolerance, job.at);
  if (mate) {
    const Result<bool> alike = compare_pair(options, *std::move(mate), base, nominal->body, *rows);
    if (!alike) return report(alike.problem());
    failed = failed || !*alike;
  }
  if (!options.picture.empty()) {
    const std::string svg = deviation_svg(*fit, nominal->body, base.standing.length * nominal->map.stretch,
                                          base.standing.foot, notes);
    if (Status put = write_file_whole(options.picture, svg, picture); !put) return report(put.problem());
  }
  fmt::print("{}\n", failed   ? "the last FAILS"
                     : unsure ? "not decided: the uncertainty reaches over a limit"
                              : "the last passes");
  return failed || unsure ? ExitCode::kCheckFailed : ExitCode::kOk;
}

}  // namespace

void add_last_verify(Program& app, Action& action) {
  const auto options = std::make_shared<VerifyOptions>();
  Command* command = app.add_subcommand("verify", "Checks a scanned or delivered last against the table");
  command->add_option("last", options->file, "the last's file (JSON)")->required();
  command->add_option("scan", options->scan, "STL or STEP of the last to check")->required();
  command->add_option("--size", options->size, "the size it is stamped")->required();
  command->add_option("--width", options->width, "the width it is stamped")->required();
  command->add_option("--unit", options->unit, "of an STL file")->check(one_of({"mm", "cm", "in"}));
  command->add_flag("--mirrored", options->mirrored, "it is the last of the other foot");
  command->add_option("--tolerance", options->tolerance, "mm")
      ->check(within(1e-6, 1000.0))
      ->capture_default_str();
  command
      ->add_option("--scanner", options->scanner,
                   "one standard deviation of the scanner's bias, mm; 0.02 for STL, 0 for STEP if not given")
      ->check(within(0.0, 1000.0));
  command->add_option("--pair", options->pair,
                      "scan of its mate, the last of the other foot: left against right");
  command->add_option("--picture", options->picture, "SVG of the deviations");
  command->add_flag("--force", options->force, "replace an earlier picture");
  command->callback([options, &action] { action = [options] { return run_verify(*options); }; });
}

}  // namespace lastwright
