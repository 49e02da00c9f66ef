// Where an upper forme is nicked so that it lies on the last again.
#pragma once

#include "geometry/flatten/flat_lines.hpp"
#include "grading/lasts/formes/last_formes.hpp"

namespace lastwright {

// `feather`: the forme's line from heel to toe, with its steps on the last; `flat`: where its nodes lie now.
// The nicks' figures add up to what the flat feather has more than the last's, within the last nick's half.
// The forme lies to the left of its feather.
std::vector<FormeNick> forme_nicks(const HeldLine& feather, const std::vector<Vec2>& flat,
                                   const FormeNicks& options);

}  // namespace lastwright
