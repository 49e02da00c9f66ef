// Joints of smooth lines, which no break of the outline tells of: the one of a new outline that is like one
// of the old.
#pragma once

#include <cstddef>
#include <limits>
#include <optional>

#include "grading/redraw/outline_ruler.hpp"

namespace lastwright {

// Degrees that an outline turns more behind a place than before it.
double bend_at(const OutlineRuler& ruler, double s);

// How far an outline beside a place, put so that it comes to `there`, is from the other one: up to `enough`;
// of what is farther it is known only that it is.
double unlike(const OutlineRuler& one, Vec2 place, const OutlineRuler& other, Vec2 there,
              double enough = std::numeric_limits<double>::infinity());

// What the number of an old joint is raised by for its number on the new outline. None unless both are made
// of as many curves, and one way alone to count them round has the same kinds of curves, no one half or twice
// as long as it was, joints that turn alike, and each of them within `reach` of where it was.
std::optional<std::size_t> joint_shift(const OutlineRuler& was, const OutlineRuler& now, double reach);

// By that count: a joint; or a place on a curve both ends of which, and it, have moved by the same vector.
std::optional<Vec2> place_by_shift(const OutlineRuler& was, const OutlineRuler& now, std::size_t shift,
                                   Vec2 place);

// The one joint of the new outline within `reach` at which it runs as the old one did at this joint. None
// where the line hardly bends there, where the old outline has another joint like it within twice that reach,
// where the new one has another, or one that is nearly so, and where the old outline had a joint there too.
std::optional<Vec2> joint_alike(const OutlineRuler& was, const OutlineRuler& now, Vec2 place, double reach);

}  // namespace lastwright
