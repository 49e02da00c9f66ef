// Where the sets of points that move as one get local fields, and what these leave as it is.
//
// A set that moves as one is level: the field does not change across it. To the wide kernel of a forme that
// is a demand on everything within its length scale, so the sets have fields of their own. These reach
// one and a half times the set's size (the largest distance of two of its points), at most as many length
// scales of the forme, and change nothing that another rule asks: a rule's places keep still one by one, only
// those that belong to the set itself, and the pair on either side of a square crossing, are taken together.
#pragma once

#include <vector>

#include "geometry/map/driver_field.hpp"

namespace lastwright {

struct HeldPoints {
  std::vector<Vec2> points;
  std::vector<std::size_t> conditions;  // that hold them together
};
struct StraightLine {
  Vec2 a;
  Vec2 b;
};
struct RuledForme {
  const FieldFrame& frame;
  const std::vector<Condition>& conditions;  // of all rules
  const std::vector<bool>& square;           // by condition: its first two terms are the sides of a crossing
  const std::vector<StraightLine>& straight;
};

// Sets that share a point have one space.
std::vector<LocalSpace> local_spaces(const RuledForme& forme, std::vector<HeldPoints> held);

}  // namespace lastwright
