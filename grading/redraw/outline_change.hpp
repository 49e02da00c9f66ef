// How far an outline that was drawn anew leaves the old one beside a place.
#pragma once

#include <vector>

#include "grading/redraw/outline_ruler.hpp"

namespace lastwright {

struct OutlineChange {
  double most = 0.0;  // mm that the outlines leave each other
  Vec2 at;            // there, on the new one
};

// Of the stretch round a place of the old outline, to the next of the `breaks` and `places` on either side,
// which are the old outline's, and as far as `reach` mm at least.
OutlineChange change_beside(const OutlineRuler& was, const OutlineRuler& now,
                            const std::vector<OutlineRuler::Vertex>& breaks, const std::vector<Vec2>& places,
                            Vec2 place, double reach);

}  // namespace lastwright
