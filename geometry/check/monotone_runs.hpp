// The pairs of segments of an outline that may meet, found
// without sorting the segments or boxing most of them.
//
// An outline is taken apart into monotone runs: consecutive segments all of whose directions lie in one
// quadrant. A run's ends span the box of it and, in the same way, of every part of it, so that two runs are
// halved until what is left overlaps or does not.
//
// Within a run nothing meets, which is why such pairs are never visited: walking on, x + y (or x - y, by the
// quadrant) grows or falls all the time, and over a whole segment by more than `touch` times the root of 2,
// because shorter segments are runs by themselves. So two segments of a run that are not neighbours are more
// than `touch` apart; neighbours have no point in common but their joint, none has its other end within
// `touch` of its neighbour, and they turn by a right angle at most.
#pragma once

#include <cstdint>
#include <vector>

#include "geometry/check/close_pairs.hpp"
#include "geometry/curve/arc_path.hpp"

namespace lastwright {

class MonotoneRuns {
 public:
  // Keeps a reference to the path. `touch`: segments further apart than this need not be visited.
  MonotoneRuns(const ClosedArcPath& path, double touch);

  // Calls visit(i, k), i < k, once for every pair that may be
  // within `touch`, neighbours included; in no particular order.
  template <class Visit>
  void for_near(const Visit& visit) const {
    // Many runs are swept, few are quicker compared each with each.
    constexpr std::size_t kFew = 48;
    if (runs_.size() > kFew) {
      std::vector<Box2> boxes;
      boxes.reserve(runs_.size());
      for (const Run& run : runs_) boxes.push_back(run.box);
      for_overlapping(boxes,
                      [&](std::size_t one, std::size_t two) { descend(runs_[one], runs_[two], visit); });
      return;
    }
    for (std::size_t one = 0; one < runs_.size(); ++one) {
      for (std::size_t two = one + 1; two < runs_.size(); ++two) {
        if (runs_[one].box.overlaps(runs_[two].box)) descend(runs_[one], runs_[two], visit);
      }
    }
  }

 private:
  // Segments [first, last). The box is grown by half of `touch`.
  struct Run {
    std::size_t first;
    std::size_t last;
    Box2 box;
  };

  [[nodiscard]] Run part(std::size_t first, std::size_t last) const;

  // `one` lies before `two`; their boxes overlap.
  template <class Visit>
  void descend(const Run& one, const Run& two, const Visit& visit) const {
    const std::size_t count_one = one.last - one.first;
    const std::size_t count_two = two.last - two.first;
    if (count_one == 1 && count_two == 1) {
      visit(one.first, two.first);
    } else if (count_one >= count_two) {
      const std::size_t middle = one.first + count_one / 2;
      for (const Run& half : {part(one.first, middle), part(middle, one.last)}) {
        if (half.box.overlaps(two.box)) descend(half, two, visit);
      }
    } else {
      const std::size_t middle = two.first + count_two / 2;
      for (const Run& half : {part(two.first, middle), part(middle, two.last)}) {
        if (half.box.overlaps(one.box)) descend(one, half, visit);
      }
    }
  }

  const ClosedArcPath& path_;
  double half_touch_;
  std::vector<Run> runs_;
};

}  // namespace lastwright
