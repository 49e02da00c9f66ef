// What the verifying of a last found, as data: the same that is printed for people.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/lasts/form_deviation.hpp"
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
  LastVerdict verdict = LastVerdict::kInconclusive;
};

// A row a measure; those against the mate after them, then the form's worst places and what is not verified.
std::string verify_csv(const VerifyResult& result, const BaseLast& base);
std::string verify_json(const VerifyResult& result, const BaseLast& base);

}  // namespace lastwright
