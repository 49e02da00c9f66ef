// What an allowance is, as a definition: how far a cut line is from what each edge of its net line asks.
#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <span>
#include <vector>

#include "grading/pieces/graded_piece.hpp"

namespace lastwright::test {

struct AllowanceError {
  double off = 0.0;        // of cut points beside their own edge from its allowance
  double inside = 0.0;     // of cut points inside the net line
  double nearer = 0.0;     // of cut points beside any edge, by which they are too near to it
  std::size_t beside = 0;  // cut points that stand beside their own edge, not beyond its ends
};

// The foot of p on a segment, when it is not at an end of it.
inline bool has_foot(const ArcSegment& s, Vec2 p) {
  constexpr double kEnd = 1e-6;
  const Vec2 foot = s.point_at(s.nearest(p));
  return distance(foot, s.a) > kEnd && distance(foot, s.b) > kEnd;
}

// Whether p is on the side to which the edge moves: in a sharp corner it may be near an edge and behind it.
inline bool beside(const ArcSegment& edge, Vec2 p, bool outward) {
  const double t = edge.nearest(p);
  return (cross(edge.tangent_at(t), p - edge.point_at(t)) < 0.0) == outward;
}

// `outer` minus `inner` by edges: both are closed, counter-clockwise and know their edges; samples on each
// segment of `moved` are compared with `still`. For a drawn cut line `moved` is the recovered net line and
// `still` the cut line.
inline AllowanceError allowance_error(const EdgedOutline& still, const EdgedOutline& moved,
                                      std::span<const Millimetres> allowances, bool outward = true) {
  AllowanceError error;
  for (std::size_t i = 0; i < moved.path.size(); ++i) {
    const ArcSegment s = moved.path.segment(i);
    const double asked = allowances[moved.edge[i]].value();
    for (const double t : {0.07, 0.35, 0.5, 0.81}) {
      const Vec2 p = s.point_at(t);
      double nearest = std::numeric_limits<double>::infinity();
      bool foot_inside = false;
      for (std::size_t k = 0; k < still.path.size(); ++k) {
        const ArcSegment edge = still.path.segment(k);
        const double d = edge.distance_to(p);
        const bool foot = has_foot(edge, p);
        if (foot && beside(edge, p, outward) && contains(still.path, p) != outward)
          error.nearer = std::max(error.nearer, allowances[still.edge[k]].value() - d);
        if (still.edge[k] != moved.edge[i] || d > nearest) continue;
        nearest = d;
        foot_inside = foot;
      }
      if (contains(still.path, p) == outward)
        error.inside = std::max(error.inside, distance_to(still.path, p));
      if (!foot_inside) continue;
      ++error.beside;
      error.off = std::max(error.off, std::abs(nearest - asked));
    }
  }
  return error;
}

}  // namespace lastwright::test
