// How freely a body in the plane may still be moved, of which some places are fixed in some directions.
#pragma once

#include <vector>

#include "geometry/vec2.hpp"

namespace lastwright {

// Places that cannot move along a direction each.
class FixedPlaces {
 public:
  // `direction`: a unit vector.
  void add(Vec2 at, Vec2 direction) { places_.push_back({at, direction}); }
  // In both directions.
  void add_point(Vec2 at) {
    add(at, {1.0, 0.0});
    add(at, {0.0, 1.0});
  }
  // They may move along their directions all by one distance, whichever it is: what is fixed is a margin that
  // stays the same, not how wide it is.
  void leave_common() { common_ = true; }
  [[nodiscard]] bool empty() const { return places_.empty(); }

 private:
  friend class FreedomFinder;
  struct Place {
    Vec2 at;
    Vec2 direction;
  };
  std::vector<Place> places_;
  bool common_ = false;
};

struct PlaceFreedom {
  int held = 0;  // of the three ways in which a body moves; 3: it is held
  // Where held is 2: the one way that is left. A turn about
  // `motion`, or a move along the unit vector `motion`.
  bool turns = false;
  Vec2 motion;
};

// `size`: of the body, mm, as a radius: a turn counts by what it moves there. What holds less than a
// fifth as well as it might does not hold.
PlaceFreedom freedom_left(const std::vector<FixedPlaces>& fixed, double size);

}  // namespace lastwright
