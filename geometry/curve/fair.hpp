// Runs of short chords back to the smooth curves they were drawn from.
#pragma once

#include <cstddef>
#include <functional>
#include <vector>

#include "geometry/curve/curve.hpp"

namespace lastwright {

struct FairOptions {
  Millimetres within{0.02};  // no vertex leaves the faired curve by more
  Radians corner{0.349};     // 20 degrees: chords that turn by more meet in a corner
  // A run of fewer chords is a polygon that was meant.
  std::size_t fewest = 6;
  // A chord this many times as long as both its neighbours is a straight line that was meant; so is one
  // between two corners.
  double straight = 4.0;
  // Vertices at which a run ends though its chords go on smoothly: corners of another outline, which shares
  // the chords on one side of them and is faired by itself. None where empty.
  std::function<bool(Vec2)> ends = {};
};

struct Faired {
  std::vector<Curve> curves;  // follow each other as the chords did; ends and corners stay to the bit
  std::size_t chords = 0;     // that were replaced
  std::size_t arcs = 0;       // by so many
  double worst = 0.0;         // mm: the farthest that a vertex lies from them
};

// Each run of lines without a corner becomes tangent-continuous arcs, as few as the tolerance allows.
// Whatever is no line stays. The same chords walked the other way give the same arcs, walked the other way;
// so do they moved, turned and mirrored, unless their lengths (of a closed run without a corner also its
// turns) are the same from either end. A vertex in the middle of a straight chord changes nothing. `closed`:
// the last curve is followed by the first; a closed run without a corner is smooth where it closes too.
Faired fair(const std::vector<Curve>& curves, bool closed, const FairOptions& options = {});

}  // namespace lastwright
