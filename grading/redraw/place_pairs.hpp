// Which of several like things has gone where: the holes of a row in a new drawing.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "geometry/vec2.hpp"

namespace lastwright {

// For each place of `was` its place in `now`, none farther than `reach`; each is taken once. Where one shift
// brings all of the fewer onto the others within `same`, that one, the least of several; else those that
// move least in all, one that is left without a partner counting as moved by `reach`.
std::vector<std::optional<std::size_t>> pair_places(const std::vector<Vec2>& was,
                                                    const std::vector<Vec2>& now, double reach, double same);

}  // namespace lastwright
