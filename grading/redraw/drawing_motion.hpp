// How a new sheet lies, from the outlines that are on both.
#pragma once

#include <optional>
#include <vector>

#include "geometry/io/paper/plane_affine.hpp"
#include "geometry/result.hpp"
#include "grading/redraw/outline_ruler.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

struct DrawingMotion {
  PlaneAffine motion;                // from the new sheet to the old one's frame
  std::optional<DrawingPose> sheet;  // the same; none where it lies as it did
  double same = 0.0;  // share of the outlines' places that then lie on the old ones, within 0.05 mm
};

// A new outline and the old ones of which it may be one.
struct OutlineTwin {
  const OutlineRuler* now = nullptr;
  std::vector<const OutlineRuler*> was;
};
using OutlineTwins = std::vector<OutlineTwin>;

// Points, middles of circles and places of texts on both sheets: where the outlines leave it open how the new
// sheet lies, as that of a strap that is the same either way round, they decide.
struct DrawingMarks {
  std::vector<Vec2> was;
  std::vector<Vec2> now;
};

// The rigid motion under which most of the new outlines lies on the old ones, exactly where they were left as
// they are. Where the sheet as it is does as well as any, it is taken as it is; marks count where outlines do
// not tell. Refuses a sheet of which no
// motion brings the greater part within `reach` of the old one, and one that lies equally well in two ways.
Result<DrawingMotion> find_drawing_motion(const OutlineTwins& twins, double reach,
                                          const DrawingMarks& marks = {});

}  // namespace lastwright
