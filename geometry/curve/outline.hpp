// Runs of curves: anything (RawOutline), an open run (OpenChain), a proper outline (ClosedOutline).
#pragma once

#include <cstddef>
#include <vector>

#include "geometry/curve/curve.hpp"

namespace lastwright {

// Curves in the order they were found. Nothing is promised: this type exists so that bad files can be shown.
struct RawOutline {
  std::vector<Curve> curves;
};

// Curves that follow each other: the end of each is the start of the next, to the bit. Never empty.
class OpenChain {
 public:
  [[nodiscard]] const std::vector<Curve>& curves() const { return curves_; }

 private:
  friend Result<OpenChain> make_open_chain(RawOutline raw, Millimetres gap);
  std::vector<Curve> curves_;
};

// A closed, simple, counter-clockwise run of curves. Checked once, by make_closed_outline.
class ClosedOutline {
 public:
  [[nodiscard]] const std::vector<Curve>& curves() const { return curves_; }

 private:
  friend Result<ClosedOutline> make_closed_outline(RawOutline raw, Millimetres gap);
  std::vector<Curve> curves_;
};

// Closes gaps up to `gap` by moving both ends to their midpoint. Refuses an empty run, a curve without length
// and a gap that is larger (the Problem gives it as value, `gap` as limit, and where it is).
Result<OpenChain> make_open_chain(RawOutline raw, Millimetres gap);

// As above, and the last end meets the first start; a clockwise run is turned round. Refuses a run that
// crosses or touches itself (the Problem names the point), judged on the curves flattened to 1e-3 mm.
Result<ClosedOutline> make_closed_outline(RawOutline raw, Millimetres gap);

// Positive for counter-clockwise runs, within 1e-6 relative.
double signed_area(const ClosedOutline& outline);
double length(const ClosedOutline& outline);
double length(const OpenChain& chain);
Box2 bounds(const ClosedOutline& outline);

}  // namespace lastwright
