// The rim of a sole beyond its insole, at the two ends of the base line and across the shoe.
//
// A rim is even on each side of the shoe, and as wide at the toe as at the heel or a little wider: by common
// practice the two ends differ by 3 mm at most, and so do the two sides. A sole that was drawn too far
// forward, to one side or turned departs from that, and nothing else of it is wrong.
#pragma once

#include <optional>
#include <string>

#include "geometry/curve/arc_path.hpp"
#include "grading/grade/finding.hpp"

namespace lastwright {

inline constexpr double kUnevenRim = 3.0;  // mm; common practice

// Millimetres, less than nothing where the insole runs out beyond the sole.
struct SoleRim {
  double from = 0.0;  // at the ends, along the base line: a sole that is shifted along it changes both alike
  double to = 0.0;
  double left = 0.0;  // square to the sole's edge, to the left of the base line where the insole is widest
  double right = 0.0;
  Vec2 at_left;  // on the insole
  Vec2 at_right;
  // How much farther the sole stands out at the one end of the base line than at the other, to its end, where
  // that is more than kUnevenRim and the sides beside the ends do not widen with it. Else 0.
  double forward = 0.0;
  // How much farther it stands out on the left than on the right, at most, where that is more than
  // kUnevenRim, and the rest is even: as of a sole that lies shifted or turned, or over a short stretch. Else
  // 0.
  double leftward = 0.0;
  Vec2 at_leftward;  // on the insole, on the side where the rim is wider
};

// `along`: of unit length. None where the insole is not crossed as a sole is.
std::optional<SoleRim> sole_rim(const ClosedArcPath& insole, const ClosedArcPath& sole, Vec2 along);

// "sole rim": its figures, doubtful where it is uneven. `from` and `to` name the ends of the base line.
struct RimNames {
  std::string insole;
  std::string sole;
  std::string from;
  std::string to;
};
StyleFinding sole_rim_finding(const SoleRim& rim, const RimNames& names);

}  // namespace lastwright
