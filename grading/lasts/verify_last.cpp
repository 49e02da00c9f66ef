#include "grading/lasts/verify_last.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/files/kernel_time.hpp"
#include "geometry/solid/mesh_sag.hpp"
#include "geometry/solid/solid_file.hpp"

namespace lastwright {

namespace {

constexpr double kSpacing = 1.0;        // mm: what a scan has; coarser meshes are filled up, on their chords
constexpr double kWholeSection = 0.95;  // with a twentieth of the section missing the tape cannot be told

// Before points are spread over it: over a last in millimetres that is taken for one in inches there would be
// too many.
Status as_small_as_a_last(const PlainMesh& mesh) {
  constexpr double kLongest = 1000.0;  // mm: no last, with whatever it stands on
  const double found = mesh.points.empty() ? 0.0 : longest_axis(mesh.points);
  if (found <= kLongest) return Done{};
  return Problem{
      Trouble::kBadValue, "the scan is longer than any last (mm): is its unit right?", {}, found, kLongest};
}

// Heel girths are outcomes of the grade: the nominal last's own, not the table's.
bool is_derived(const MeasureDefinition& d) {
  return d.measure == "short heel" || d.measure == "long heel";
}

const char* of_other_foot(FootSaid said) {
  switch (said) {
    case FootSaid::kOfFile:
      return "the scan fits the last of the other foot far better: for one of that foot say --mirrored";
    case FootSaid::kMirrored:
      return "the scan fits the last of the file's own foot far better than the mirrored one: leave "
             "--mirrored out";
    case FootSaid::kMate:
      break;
  }
  return "the scan after --pair fits a last of the same foot as the first scan far better: the two are no "
         "pair, a "
         "left and a right last";
}

}  // namespace

const char* name_of(LastVerdict verdict) {
  return verdict == LastVerdict::kPass ? "pass" : verdict == LastVerdict::kFail ? "FAIL" : "inconclusive";
}

LastVerdict verdict_of(double off, double uncertainty, double tolerance, double covered) {
  if (!(covered >= kWholeSection) || !std::isfinite(off)) return LastVerdict::kInconclusive;
  if (std::abs(off) + uncertainty <= tolerance) return LastVerdict::kPass;
  if (std::abs(off) - uncertainty > tolerance) return LastVerdict::kFail;
  return LastVerdict::kInconclusive;
}

Result<ScanFile> read_scan(const std::string& path, const std::string& unit, bool mirrored) {
  const Result<std::string> bytes = read_solid_bytes(path);
  if (!bytes) return bytes.problem();
  ScanFile file;
  if (is_solid(*bytes)) {
    const Result<KernelShape> shape = read_shape(*bytes);
    if (!shape) return shape.problem().in_file(path);
    const KernelTime limited(kernel_seconds(bytes->size()));
    // The mesh only spreads the points; coarser ones reach out of hollow rims.
    const Result<Body> body = to_body(*shape, 0.05);
    if (!body) return body.problem().in_file(path);
    file.points = surface_points(*body, kSpacing, &file.normals);
    file.own = file.points.size();
    file.exact = true;
  } else {
    const Result<StlRead> read = read_mesh_in(*bytes, unit, kSayUnit);
    if (!read) return read.problem().in_file(path);
    if (Status small = as_small_as_a_last(read->mesh); !small) return small.problem().in_file(path);
    Result<std::vector<Vec3>> points = spread_points(read->mesh, kSpacing, &file.normals);
    if (!points) return points.problem().in_file(path);
    file.points = std::move(*points);
    file.own = read->mesh.points.size();
    file.triangles = read->mesh.triangles.size();
    file.open_sides = read->open_sides;
    file.sag = mean_sag(read->mesh);
  }
  if (mirrored) {
    for (Vec3& p : file.points) p.y = -p.y;
    for (Vec3& n : file.normals) n.y = -n.y;
  }
  return file;
}

Status length_of_last(const ScanFile& scan, const BaseLast& base, const LastJob& job,
                      const std::string& path) {
  constexpr double kShortest = 0.55;  // of the length wanted: half a last, or a child's for a man's
  constexpr double kLongest = 1.35;
  const double wanted = longest_axis(surface_points(base.body, 4.0)) * job.prior.stretch;
  const double found = longest_axis(scan.points);
  if (found >= kShortest * wanted && found <= kLongest * wanted) return Done{};
  return not_as_long(found, wanted).in_file(path);
}

Result<ScanFit> registered(const Body& nominal, ScanFile scan, const std::string& path, FootSaid said) {
  constexpr double kClose = 0.7;  // mm: a last of the other foot lies farther off than this
  ScanFitOptions options;
  options.own = scan.own;
  options.normals = std::move(scan.normals);
  Result<ScanFit> fit = fit_scan(nominal, scan.points, options);
  if (fit && fit->rms < kClose) return fit;
  for (Vec3& p : scan.points) p.y = -p.y;
  for (Vec3& n : options.normals) n.y = -n.y;
  const Result<ScanFit> other = fit_scan(nominal, scan.points, options);
  if (other && (!fit || other->rms < 0.6 * fit->rms)) {
    return Problem{Trouble::kBadValue,
                   of_other_foot(said),
                   {},
                   fit ? std::optional<double>(fit->rms) : std::nullopt,
                   other->rms}
        .in_file(path);
  }
  if (!fit) return fit.problem().in_file(path);
  return fit;
}

Result<std::vector<VerifiedMeasure>> measured_on_scan(const BaseLast& base, const Body& nominal,
                                                      const ScanFit& fit, double scanner) {
  std::vector<VerifiedMeasure> rows;
  std::vector<MeasureDefinition> taken;
  for (std::size_t i = 0; i < base.definitions.size(); ++i) {
    const MeasureDefinition& d = base.definitions[i];
    const bool girth = d.method == Method::kPlaneHull;
    if (!girth && d.method != Method::kDistance && d.method != Method::kExtent) continue;
    if (d.measure == "toe thickness") continue;  // between two faces that the residual field treats apart
    // A bias pushes every point outward alike: 2 pi of it on a girth, twice on a width.
    rows.push_back({i, {}, scanner * (girth ? 2.0 * std::numbers::pi : 2.0)});
    taken.push_back(d);
  }
  const Result<std::vector<ScannedMeasure>> scanned = scanned_measures(taken, nominal, base.landmarks, fit);
  if (!scanned) return scanned.problem();
  for (std::size_t i = 0; i < rows.size(); ++i) rows[i].scanned = (*scanned)[i];
  return rows;
}

std::vector<std::size_t> not_verified(const std::vector<VerifiedMeasure>& rows, const BaseLast& base) {
  std::vector<std::size_t> left;
  for (std::size_t i = 0; i < base.definitions.size(); ++i) {
    const bool taken =
        std::any_of(rows.begin(), rows.end(), [i](const VerifiedMeasure& row) { return row.index == i; });
    if (!taken) left.push_back(i);
  }
  return left;
}

void judge_measures(std::vector<VerifiedMeasure>& rows, const BaseLast& base, const GradedLast& nominal,
                    double tolerance) {
  for (VerifiedMeasure& row : rows) {
    const double asked = nominal.asked[row.index];
    const bool by_table = std::isfinite(asked) && !is_derived(base.definitions[row.index]);
    row.wanted = by_table ? asked : nominal.values[row.index].value;
    row.uncertainty = 2.0 * std::hypot(row.scanned.noise, row.bias) + row.scanned.hidden;
    row.verdict = verdict_of(row.scanned.value - row.wanted, row.uncertainty, tolerance, row.scanned.covered);
  }
}

std::optional<BestFit> best_fit(const LastSet& set, const std::vector<VerifiedMeasure>& rows,
                                const BaseLast& base, const GradedLast& nominal, double tolerance) {
  std::vector<std::pair<std::size_t, double>> found;  // row of the table, value
  for (const VerifiedMeasure& row : rows) {
    const MeasureDefinition& d = base.definitions[row.index];
    const std::optional<std::size_t> i = set.style.measures.index(d.measure);
    if (i && row.scanned.covered >= kWholeSection && !is_derived(d) &&
        std::isfinite(nominal.asked[row.index])) {
      found.emplace_back(*i, row.scanned.value);
    }
  }
  if (found.empty()) return std::nullopt;
  const auto misses = [&](const SizeWidth& at) {
    double sum = 0.0;
    for (const auto& [measure, value] : found) {
      const double off = value - set.style.measures.value(measure, at);
      sum += off * off / (tolerance * tolerance);
    }
    return sum;
  };
  // Only what fits better than the claim speaks against it: a length alone fits every width alike.
  const SizeWidth* best = &nominal.at;
  double least = misses(nominal.at);
  const std::vector<SizeWidth> cells = set.style.run.cells();
  for (const SizeWidth& at : cells) {
    if (const double sum = misses(at); sum < least - 1e-9) {
      least = sum;
      best = &at;
    }
  }
  return BestFit{*best, std::sqrt(least / static_cast<double>(found.size())), same_cell(*best, nominal.at)};
}

BestFit settled_fit(const LastSet& set, const ScanFile& scan, double scanner, double tolerance,
                    const BestFit& claimed, const LastRunOptions& options) {
  constexpr int kMost = 5;  // it has come to rest after one or two, three sizes off
  BestFit best = claimed;
  for (int tried = 0; tried < kMost && !best.as_claimed; ++tried) {
    const auto job = std::find_if(set.jobs_of_run.begin(), set.jobs_of_run.end(),
                                  [&best](const LastJob& one) { return same_cell(one.at, best.at); });
    if (job == set.jobs_of_run.end()) return best;
    const BaseLast& base = set.bases[job->base];
    const Result<BodyPlan> plan = plan_body(base, {&*job}, options.refit);
    if (!plan) return best;
    const Result<GradedLast> nominal = grade_last(base, *plan, *job, set.style.measures, options);
    if (!nominal) return best;
    const Result<ScanFit> fit = registered(nominal->body, scan, {});
    if (!fit) return best;
    const Result<std::vector<VerifiedMeasure>> rows = measured_on_scan(base, nominal->body, *fit, scanner);
    if (!rows) return best;
    const std::optional<BestFit> next = best_fit(set, *rows, base, *nominal, tolerance);
    if (!next) return best;
    best = *next;
  }
  best.as_claimed = claimed.as_claimed;
  return best;
}

std::vector<PairMeasure> compared_pair(const std::vector<VerifiedMeasure>& ours,
                                       const std::vector<VerifiedMeasure>& theirs, double tolerance) {
  std::vector<PairMeasure> rows;
  for (std::size_t i = 0; i < ours.size(); ++i) {
    const ScannedMeasure& a = ours[i].scanned;
    const ScannedMeasure& b = theirs[i].scanned;
    const double uncertainty = 2.0 * std::hypot(a.noise, b.noise) + a.hidden + b.hidden;
    rows.push_back({ours[i].index, a.value, b.value, uncertainty,
                    verdict_of(a.value - b.value, uncertainty, tolerance, std::min(a.covered, b.covered))});
  }
  return rows;
}

}  // namespace lastwright
