// Verifies a scanned or delivered last against the nominal one of its size and width: what was measured, how
// sure that is, and the verdict, as values.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/lasts/last_set.hpp"
#include "grading/lasts/scan_measure.hpp"

namespace lastwright {

enum class LastVerdict { kPass, kFail, kInconclusive };
const char* name_of(LastVerdict verdict);  // "pass", "FAIL", "inconclusive"

// Of a deviation with this uncertainty, both mm; `covered`: the share of the section that the scan holds.
LastVerdict verdict_of(double off, double uncertainty, double tolerance, double covered);

struct ScanFile {
  std::vector<Vec3> points;
  std::vector<Vec3> normals;   // at the points, as the file has its triangles or surfaces
  std::size_t own = 0;         // the first so many come from the file, the rest was filled in between
  bool exact = false;          // surfaces, not a scanner's points
  std::size_t triangles = 0;   // of a mesh; 0: surfaces
  std::size_t open_sides = 0;  // of a mesh
  double sag = 0.0;            // mm: how far its triangles lie inside the surface on average (mesh_sag.hpp)
};
// A mesh (STL, PLY, OBJ, 3MF) in the named unit, or STEP. `mirrored`: the last of the other foot.
Result<ScanFile> read_scan(const std::string& path, const std::string& unit, bool mirrored);

// Refuses a scan whose length says that it is none of this last, before the
// last is graded and the scan is laid on it: both cost seconds. What is
// left of a last may be much shorter than it; nothing makes it much longer.
Status length_of_last(const ScanFile& scan, const BaseLast& base, const LastJob& job,
                      const std::string& path);

// How the user said which foot a scan is of, and so what is to be said otherwise where it is of the other.
enum class FootSaid { kOfFile, kMirrored, kMate };
// Lays a scan on the nominal form; one that fits the other
// foot's last far better is refused rather than judged, with what to say instead.
Result<ScanFit> registered(const Body& nominal, ScanFile scan, const std::string& path,
                           FootSaid said = FootSaid::kOfFile);

struct VerifiedMeasure {
  std::size_t index = 0;  // in the base's definitions
  ScannedMeasure scanned;
  double bias = 0.0;  // what a bias of the scanner of one standard deviation does to it, mm
  double wanted = 0.0;
  double uncertainty = 0.0;  // two standard deviations and what may hide in holes, mm
  LastVerdict verdict = LastVerdict::kInconclusive;
};
// What can be measured on a scan, the length first, without verdicts. `scanner`: one standard deviation of
// its bias, mm.
Result<std::vector<VerifiedMeasure>> measured_on_scan(const BaseLast& base, const Body& nominal,
                                                      const ScanFit& fit, double scanner);
// The definitions of the base that have no row: heights and rises, which depend on how a last is stood, and
// what a scan cannot tell.
std::vector<std::size_t> not_verified(const std::vector<VerifiedMeasure>& rows, const BaseLast& base);
// Fills in what is wanted of each and the verdicts: the table's value where it has one of the same
// definition, the nominal last's own otherwise.
void judge_measures(std::vector<VerifiedMeasure>& rows, const BaseLast& base, const GradedLast& nominal,
                    double tolerance);

// The size and width of the run whose table comes nearest to what was measured, each miss in tolerances.
struct BestFit {
  SizeWidth at;
  double misses = 0.0;  // root mean square, in tolerances
  bool as_claimed = true;
};
// Nothing where no measure can be compared.
std::optional<BestFit> best_fit(const LastSet& set, const std::vector<VerifiedMeasure>& rows,
                                const BaseLast& base, const GradedLast& nominal, double tolerance);
// A scan is measured where the claimed last has its stations and its seat, which are off where the claim is:
// laid on the last that fits best and measured again until that last fits best itself. `claimed` as best_fit
// gives it; returned as it is where it is the claim, or where that last is not one that the set can make.
BestFit settled_fit(const LastSet& set, const ScanFile& scan, double scanner, double tolerance,
                    const BestFit& claimed, const LastRunOptions& options);

// Left against right: a measure on both scans. The scanner's bias is the same in both and drops out.
struct PairMeasure {
  std::size_t index = 0;
  double one = 0.0;
  double mate = 0.0;
  double uncertainty = 0.0;
  LastVerdict verdict = LastVerdict::kInconclusive;
};
std::vector<PairMeasure> compared_pair(const std::vector<VerifiedMeasure>& ours,
                                       const std::vector<VerifiedMeasure>& theirs, double tolerance);

}  // namespace lastwright
