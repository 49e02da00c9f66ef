// Where straight and circular segments meet. One treatment for all pairs, steady through tangency, near
// coincidence and arcs that are almost straight.
#pragma once

#include <array>
#include <cstddef>

#include "geometry/curve/arc_segment.hpp"

namespace lastwright {

// At most two points.
struct CarrierPoints {
  std::array<Vec2, 2> at;
  std::size_t count = 0;
  void add(Vec2 p) { at[count++] = p; }
};

// Points common to the carriers of two segments: the unbounded line, the whole circle. Carriers that miss
// each other by no more than `touch` give one point, on the more strongly curved one. None for parallel lines
// and circles with one centre.
CarrierPoints carrier_points(const ArcSegment& one, const ArcSegment& two, double touch);

struct Contact {
  Vec2 at;
  double on_one = 0.0;  // parameter in [0, 1], uniform in arc length
  double on_two = 0.0;
};

struct Contacts {
  std::array<Contact, 6> all;
  std::size_t count = 0;
  [[nodiscard]] const Contact* begin() const { return all.data(); }
  [[nodiscard]] const Contact* end() const { return all.data() + count; }
};

// Where two segments cross, touch or end on each other within `touch`. For a shared stretch: its ends. Points
// closer together than `touch` are given once.
Contacts contacts(const ArcSegment& one, const ArcSegment& two, double touch);

// Contacts of two segments with one.b == two.a other than
// that common point; `touch` also says how far off it counts.
Contacts neighbour_contacts(const ArcSegment& one, const ArcSegment& two, double touch);

// No direction of the two segments, one.b == two.a, differs by a right angle or more from the chords' common
// one: walking along them leads onward all the time, over each chord by more than half of its length, so they
// have no other point in common and each other end is that far from the other segment.
bool leads_onward(const ArcSegment& one, const ArcSegment& two);

// A box that holds the segment, cheap but for arcs not tight. Any sweep.
Box2 loose_bounds(const ArcSegment& segment);

}  // namespace lastwright
