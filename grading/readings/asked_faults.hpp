// The faults that a plan of readings, or a batch, is asked about: which of them it would show.
#pragma once

#include "grading/readings/causes.hpp"

namespace lastwright {

// How far off, millimetres.
struct AskedAmounts {
  double measure = 1.5;  // of the whole batch, one size or one width
  double tape = 1.0;
  double hand = 1.5;
};

struct AskedFault {
  Cause::Kind kind = Cause::Kind::kBatch;
  std::string words;  // with the amount: "one measure of one size off by 1.5 mm"
  double amount = 1.0;
  // The place where fewest readings would show it, with the prior of all causes that look like it; empty
  // where nothing of the kind was read.
  std::optional<Cause> cause;
  // What these readings cannot tell it from, of another kind; empty: nothing.
  std::optional<Cause> alike;
  std::string besides;  // what has to be read to know it, or to know it from that: "another width"
};

// The maker must be of this layout and table.
std::vector<AskedFault> asked_faults(const BatchLayout& layout, const CauseMaker& maker,
                                     const MeasureTable& table, const AskedAmounts& amounts = {});

}  // namespace lastwright
