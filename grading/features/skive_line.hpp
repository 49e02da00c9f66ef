// The line up to which a piece is thinned along its edges.
#pragma once

#include <functional>
#include <optional>

#include "geometry/curve/arc_path.hpp"
#include "geometry/curve/course.hpp"
#include "geometry/io/die_drawing.hpp"
#include "geometry/result.hpp"
#include "grading/features/clip_inside.hpp"
#include "grading/pieces/mirror.hpp"
#include "grading/style/feature_spec.hpp"

namespace lastwright {

// Beyond the ends of its cut edge a band runs on no farther from it than so many times its width; in an
// allowance, so many times the widest one where that is more: there it goes to the cut line.
inline constexpr double kBandRunsOn = 2.0;

struct BandGround {
  const OpenArcPath& cut_edge;   // the stretch of the cut line that the band lies along
  const ClosedArcPath& outline;  // the cut line
  const ClosedArcPath& finished;
  double widest = 0.0;  // of the allowances
  const std::optional<Mirror>& fold;
  bool through = false;  // the band runs on through the fold
};

// `line`: the parallel of the edges, `width` mm from their cut edge. It runs on straight to the cut line
// where that lies near (kBandRunsOn), and ends square to its cut edge, at the edge's end, where it does not:
// at a smooth joint, or at a corner that the outline turns outward. Nothing of it lies outside the cut line,
// or beyond the fold, unless it runs through it; it ends on one of them.
//
// Refused where it can end neither way: the Problem names the place, how far the band's end lies from its cut
// edge, and how far it may.
Result<ClippedLine> skive_line(const OpenArcPath& line, double width, const BandGround& ground);

// "skive 12 x 0.8", written in the band along its line, at the cut edge, where nothing else is drawn; never
// upside down. An edge that stands upright is read from below, also when it leans over a little: so that
// sizes and hands which lean either way are read alike. `share`: of the line, where it stands; `direction`:
// of the edge beside a place on the line.
SheetText skive_label(const Course& line, const SkiveWork& work, double share,
                      const std::function<Vec2(const Course::Station&)>& direction);

}  // namespace lastwright
