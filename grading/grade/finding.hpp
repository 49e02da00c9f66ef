// What a check says: its worst value over the run, its limit and the size and width where it stands. A
// finding without a limit is a report: it cannot fail.
#pragma once

#include <optional>
#include <string>

#include "grading/grade/finding_place.hpp"

namespace lastwright {

struct StyleFinding {
  std::string check;    // "outline", "one-to-one", "measure line", "girth share", "check line", "seam", ...
  std::string subject;  // the piece, line or seam
  double worst = 0.0;   // in `unit`
  std::optional<double> limit;  // fails above it (for "one-to-one": at or below it)
  std::string unit = "mm";
  FindingPlace where;  // of the worst
  bool passed = true;
  std::string note;       // what the number means, or what to do
  bool least = false;     // the limit is the least that is allowed: the smaller the worse
  bool doubtful = false;  // passed, but its note has to be read
};

// One that passes and whose note has to be read.
StyleFinding doubtful_finding(std::string check, std::string subject, double worst, std::string unit,
                              std::string note);

}  // namespace lastwright
