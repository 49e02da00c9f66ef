// Checks a scanned or delivered last against its style's table.
#include <fmt/format.h>

#include <cmath>
#include <memory>

#include "cli/last/commands.hpp"
#include "cli/last/deviation_picture.hpp"
#include "cli/last/last_set.hpp"
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
  std::string unit;  // STL: mm or in
  bool mirrored = false;
  double tolerance = 0.5;  // mm: common practice, no published figure was found
  double scanner = 0.05;   // mm: what the scanner's maker states, as one standard deviation of its bias
  std::string picture;
  bool force = false;
};

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

Result<std::vector<Vec3>> scan_points(const VerifyOptions& options) {
  const Result<std::string> bytes = read_bytes(options.scan);
  if (!bytes) return bytes.problem();
  std::vector<Vec3> points;
  if (bytes->substr(0, 256).find("ISO-10303-21") != std::string::npos) {
    const Result<KernelShape> shape = read_step(*bytes);
    if (!shape) return shape.problem().in_file(options.scan);
    const Result<Body> body = to_body(*shape, 0.01);
    if (!body) return body.problem().in_file(options.scan);
    points = spread_points(plain_mesh(*body), kSpacing);
  } else {
    if (options.unit.empty()) {
      return Problem{Trouble::kUsage, "STL files have no unit: say --unit mm or --unit in", {}, {}, {}}
          .in_file(options.scan);
    }
    const Result<StlRead> read = read_stl(*bytes, options.unit == "in" ? kMillimetresPerInch : 1.0);
    if (!read) return read.problem().in_file(options.scan);
    fmt::print("scan: {} points, {} triangles{}\n", read->mesh.points.size(), read->mesh.triangles.size(),
               read->open_sides == 0 ? ", watertight" : fmt::format(", {} open sides", read->open_sides));
    points = spread_points(read->mesh, kSpacing);
  }
  if (options.mirrored) {
    for (Vec3& p : points) p.y = -p.y;
  }
  return points;
}

// The size and width of the run whose table comes nearest to what was measured, each miss in tolerances.
void print_best_fit(const LastSet& set, const std::vector<std::pair<std::string, double>>& found,
                    double tolerance, const SizeWidth& claimed) {
  const SizeWidth* best = nullptr;
  double least = 1e300;
  const std::vector<SizeWidth> cells = set.tables.run.cells();
  for (const SizeWidth& at : cells) {
    double sum = 0.0;
    for (const auto& [measure, value] : found) {
      const double off = value - set.tables.table.value(*set.tables.table.index(measure), at);
      sum += off * off / (tolerance * tolerance);
    }
    if (sum < least) {
      least = sum;
      best = &at;
    }
  }
  if (!best || found.empty()) return;
  const bool same =
      best->size.position == claimed.size.position && best->width.position == claimed.width.position;
  fmt::print("best fit: size {} width {}, misses {:.2f} tolerances (rms){}\n", best->size.label,
             best->width.label, std::sqrt(least / static_cast<double>(found.size())),
             same ? ", as claimed" : ": NOT what it is claimed to be; verify it against that");
}

ExitCode run_verify(const VerifyOptions& options) {
  LastSetOptions set_options;
  const Result<LastSet> set = load_last_set(options.file, {options.size}, {options.width}, set_options);
  if (!set) return report(set.problem());
  const LastJob& job = set->jobs.front();
  const BaseLast& base = set->bases[job.base];
  const Result<BodyPlan> plan = plan_body(base, {&job}, set_options.run.refit);
  if (!plan) return report(plan.problem());
  const Result<GradedLast> nominal = grade_last(base, *plan, job, set->tables.table, set_options.run);
  if (!nominal) return report(nominal.problem());
  const Result<std::vector<Vec3>> scan = scan_points(options);
  if (!scan) return report(scan.problem());
  const Result<ScanFit> fit = fit_scan(nominal->body, *scan);
  if (!fit) return report(fit.problem().in_file(options.scan));
  fmt::print("registered to size {} width {}: rms {:.3f} mm\n", job.at.size.label, job.at.width.label,
             fit->rms);
  fmt::print("tolerance {} mm; uncertainty for two standard deviations, scanner {} mm\n\n", options.tolerance,
             options.scanner);
  fmt::print("{:<14} {:>9} {:>9} {:>9} {:>6}  {:<13} {}\n", "measure", "scan", "nominal", "off", "+-",
             "verdict", "definition");

  bool failed = false;
  bool unsure = false;
  std::vector<std::pair<std::string, double>> found;
  for (std::size_t i = 0; i < base.definitions.size();
       ++i) {  // the length comes first in the list, by design
    const MeasureDefinition& d = base.definitions[i];
    if (d.method != Method::kPlaneHull && d.method != Method::kDistance && d.method != Method::kExtent)
      continue;
    if (d.measure == "toe thickness") continue;  // between two faces that the residual field treats apart
    const Result<ScannedMeasure> m = scanned_measure(d, nominal->body, base.landmarks, *fit);
    if (!m) return report(m.problem());
    const double wanted =
        std::isfinite(nominal->asked[i]) && d.measure != "short heel" && d.measure != "long heel"
            ? nominal->asked[i]
            : nominal->values[i].value;
    // A bias of the scanner pushes every point outward alike: 2 pi of it on a girth, twice on a width.
    const double bias = options.scanner * (d.method == Method::kPlaneHull ? 6.283185307 : 2.0);
    const double uncertainty = 2.0 * std::hypot(m->noise, bias / 2.0);
    const Verdict verdict = judge(m->value - wanted, uncertainty, options.tolerance, m->covered);
    failed = failed || verdict == Verdict::kFail;
    unsure = unsure || verdict == Verdict::kInconclusive;
    fmt::print("{:<14} {:>9.3f} {:>9.3f} {:>+9.3f} {:>6.3f}  {:<13} {}{}\n", d.measure, m->value, wanted,
               m->value - wanted, uncertainty, name_of(verdict), m->definition,
               m->covered < 0.95 ? fmt::format(", only {:.0f} % covered", 100.0 * m->covered) : "");
    const std::optional<std::size_t> row = set->tables.table.index(d.measure);
    if (row && m->covered >= 0.95 && d.measure != "short heel" && d.measure != "long heel") {
      found.emplace_back(d.measure, m->value);
    }
  }
  print_best_fit(*set, found, options.tolerance, job.at);
  if (!options.picture.empty()) {
    const std::string svg = deviation_svg(*fit, base.standing.length * nominal->map.stretch);
    const Status written = write_file_whole(options.picture, svg,
                                            {.force = options.force, .inputs = {options.file, options.scan}});
    if (!written) return report(written.problem());
  }
  fmt::print("{}\n", failed   ? "the last FAILS"
                     : unsure ? "not decided: the uncertainty reaches over a limit"
                              : "the last passes");
  return failed || unsure ? ExitCode::kCheckFailed : ExitCode::kOk;
}

}  // namespace

void add_verify(CLI::App& app, Action& action) {
  const auto options = std::make_shared<VerifyOptions>();
  CLI::App* command = app.add_subcommand("verify", "Checks a scanned or delivered last against the table");
  command->add_option("last", options->file, "the last's file (JSON)")->required();
  command->add_option("scan", options->scan, "STL or STEP of the last to check")->required();
  command->add_option("--size", options->size, "the size it is stamped")->required();
  command->add_option("--width", options->width, "the width it is stamped")->required();
  command->add_option("--unit", options->unit, "of an STL file")->check(CLI::IsMember({"mm", "in"}));
  command->add_flag("--mirrored", options->mirrored, "it is the last of the other foot");
  command->add_option("--tolerance", options->tolerance, "mm")
      ->check(CLI::PositiveNumber)
      ->capture_default_str();
  command->add_option("--scanner", options->scanner, "one standard deviation of the scanner's bias, mm")
      ->check(CLI::NonNegativeNumber)
      ->capture_default_str();
  command->add_option("--picture", options->picture, "SVG of the deviations");
  command->add_flag("--force", options->force, "replace the picture if it exists");
  command->callback([options, &action] { action = [options] { return run_verify(*options); }; });
}

}  // namespace lastwright
