// How a new sheet lies, from the outlines that are on both.
#pragma once

#include <optional>
#include <vector>

#include "geometry/io/plane_affine.hpp"
#include "geometry/result.hpp"
#include "grading/redraw/outline_ruler.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

struct SheetMotion {
  PlaneAffine motion;              // from the new sheet to the old one's frame
  std::optional<SheetSpec> sheet;  // the same; none where it lies as it did
  double same = 0.0;  // share of the outlines' places that then lie on the old ones, within 0.05 mm
};

// A new outline and the old ones of which it may be one.
struct OutlineTwin {
  const OutlineRuler* now = nullptr;
  std::vector<const OutlineRuler*> was;
};
using OutlineTwins = std::vector<OutlineTwin>;

// The rigid motion under which most of the new outlines lies on the old ones, exactly where they were left as
// they are. Where the sheet as it is does as well as any, it is taken as it is. Refuses a sheet of which no
// motion brings the greater part within `reach` of the old one, and one that lies equally well in two ways.
Result<SheetMotion> find_sheet(const OutlineTwins& twins, double reach);

}  // namespace lastwright
