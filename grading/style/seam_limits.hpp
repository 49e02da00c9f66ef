// How well the two sides of a seam have to fit, as a style states it.
#pragma once

#include <optional>

#include "geometry/units.hpp"

namespace lastwright {

struct SeamLimits {
  // The edges may differ by this much in the sample, the ease taken off. Common practice: what is worked in
  // over a seam without a word; what is meant is stated as ease.
  Millimetres base{1.0};
  std::optional<Millimetres> nicks;  // of nicks that are sewn on each other; unless given the seam's own
  Millimetres allowances{0.5};       // between the allowances of the two sides of a closed or open seam
  Millimetres lap_stitch{1.0};  // at least, from the last stitch row to the edge of the lap; common practice
  Millimetres holes{0.3};       // between eyelets that are punched through both pieces; common practice
  bool operator==(const SeamLimits&) const = default;
};

}  // namespace lastwright
