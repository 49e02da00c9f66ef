// Which size and width explains the readings of one last best, and how sure that is: names the mis-stamped
// one.
#pragma once

#include <span>
#include <vector>

#include "grading/sizes/size_run.hpp"

namespace lastwright {

// A reading of the last, and what every cell of the run would read there.
struct MatchReading {
  double value = 0.0;            // millimetres
  std::vector<double> expected;  // by cell of the run, in the order of SizeRun::cells()
  double spread = 1.0;           // standard deviation of one reading about its last's true size
};

struct MatchOptions {
  // Before any reading the stamp is believed this much; the rest is spread evenly over the run.
  double trust_in_stamp = 0.95;
  // From this certainty on another cell is named.
  double sure = 0.95;
  // Where another cell is best, but chance alone would make it fit as badly only this rarely, the last fits
  // none.
  double fits_nothing = 1e-4;
};

enum class Match {
  kAsStamped,   // the stamp explains the readings best; the limits say whether it is good
  kMisStamped,  // another size and width does, and that is sure
  kDoubtful,    // another one does better, but it is not sure which
  kFitsNone,    // neither the stamp nor another size and width explains the readings
};

struct ItemMatch {
  Match match = Match::kAsStamped;
  std::size_t best = 0;    // cell of the run
  double certainty = 0.0;  // of the best cell, 0 to 1
  double stamp_certainty = 0.0;
  double fit_p = 1.0;  // how often chance alone makes the best cell fit as badly
};

// Likelihood of each cell by readings with heavy-tailed errors (Student's t, 4 degrees of freedom), so that
// one slip among several readings does not name another cell. Precondition: at least one reading; stamped <
// number of cells.
ItemMatch match_item(std::span<const MatchReading> readings, std::size_t stamped,
                     const MatchOptions& options = {});

}  // namespace lastwright
