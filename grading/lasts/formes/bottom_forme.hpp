// The bottom forme: the insole's outline is the featherline, the bottom laid flat.
#pragma once

#include "grading/lasts/formes/girth_cut.hpp"

namespace lastwright {

// `points`: of the skin's bottom, on this last. `start`: the base's, or null.
Result<LastForme> flat_bottom(const FormedLast& last, const std::vector<Vec3>& points,
                              const std::vector<GirthCut>& cuts, const LastForme* start,
                              const FormeOptions& options);

}  // namespace lastwright
