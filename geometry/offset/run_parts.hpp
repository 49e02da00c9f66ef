// Runs of pieces cut where they touch themselves or others.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "geometry/offset/moved.hpp"

namespace lastwright {

// A part of a piece of the run, between two parameters of it.
struct Part {
  MovedPiece piece;
  std::size_t whole;
  double from;
  double to;
  bool joint;  // something else touches where it starts
  // One other piece crosses there at a clear angle and nothing else is near: 1
  // where that one comes from the left, so that the part leads to the
  // left-hand side of it, -1 to its right-hand side. 0: not as simple as that.
  int crossing;
};

// The parts of a closed run in order; parts without length are dropped. The joint of the run's end and start
// is told as every other.
std::vector<Part> parts_of_closed(const std::vector<MovedPiece>& run);

// Pieces of one open run cut where they touch each other or one of `knives`, in order along the run; parts
// without length are dropped.
std::vector<MovedPiece> cut_at_contacts(const std::vector<MovedPiece>& run,
                                        std::span<const ArcSegment> knives);

}  // namespace lastwright
