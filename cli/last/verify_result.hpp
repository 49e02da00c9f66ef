// What the verifying of a last found, as data: the same that is printed for people.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/lasts/form_deviation.hpp"
#include "grading/lasts/scan_cover.hpp"
#include "grading/lasts/verify_last.hpp"

namespace lastwright {

struct VerifyResult {
  std::string scan;
  SizeWidth claimed;
  double tolerance = 0.0;
  double scanner = 0.0;  // mm
  double rms = 0.0;      // of the scan on the nominal last, mm
  std::vector<std::string> notes;
  std::vector<VerifiedMeasure> measures;
  std::optional<BestFit> best;
  std::vector<PairMeasure> pair;          // against its mate; empty: none was given
  std::optional<FormDeviation> form;      // the worst places, which no verdict judges
  std::vector<std::size_t> not_verified;  // in the base's definitions
  double length = 0.0;                    // of the nominal last, mm: places are shares of it
  LastFoot foot{};                        // of the nominal last
  ScanCover cover;
  double left_out = 0.0;  // share of the scan's points that no measure takes
  double beyond = 0.0;    // mm: what lies farther off the last is among them
  LastVerdict verdict = LastVerdict::kInconclusive;
};

// What of a measure's line or ends is not seen, after a comma; empty where all is.
std::string told_gaps(const ScannedMeasure& measure, const Body& nominal, double length, LastFoot foot);
// The measures with a hole on their line or at an end, as names after each other.
std::string with_gaps(const std::vector<VerifiedMeasure>& rows, const BaseLast& base);

// A row a measure; those against the mate after them, then the form's worst places, holes of the
// scan and what of it is left out, and what is not verified.
std::string verify_csv(const VerifyResult& result, const BaseLast& base, const Body& nominal);
std::string verify_json(const VerifyResult& result, const BaseLast& base, const Body& nominal);

}  // namespace lastwright
