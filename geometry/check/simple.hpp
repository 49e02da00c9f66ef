// Is an outline of lines and arcs fit to be cut: finite,
// counter-clockwise, free of self-contact and tiny segments?
#pragma once

#include <optional>

#include "geometry/curve/arc_path.hpp"
#include "geometry/result.hpp"
#include "geometry/tolerance.hpp"
#include "geometry/units.hpp"

namespace lastwright {

struct SimpleOptions {
  Millimetres touch = tolerance::kSamePoint;  // parts of the outline this close count as touching
  Millimetres shortest{0.0};      // segments shorter than this are refused; 0: only those without length
  bool counter_clockwise = true;  // refuse a clockwise outline
};

struct SelfContact {
  std::size_t one = 0;  // indices of the segments, one < two
  std::size_t two = 0;
  Vec2 at;
};

// Two segments that cross, touch, or (neighbours) fold back onto each other; of several the pair with the
// smallest indices. Every segment has length. About n log n for outlines.
std::optional<SelfContact> self_contact(const ClosedArcPath& path, Millimetres touch);

// The first thing wrong with an outline, with its point in the message: numbers that are not finite, segments
// too short, self-contact, orientation, in this order.
Status check_simple(const ClosedArcPath& path, const SimpleOptions& options = {});

}  // namespace lastwright
