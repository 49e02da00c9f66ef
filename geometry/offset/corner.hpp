// How two moved edges are joined at the vertex between them.
#pragma once

#include <array>
#include <cstddef>

#include "geometry/curve/arc_path.hpp"
#include "geometry/offset/offset.hpp"

namespace lastwright {

struct CornerGeometry {
  Vec2 vertex;
  Vec2 in;            // unit tangent of the edge that ends here
  Vec2 out;           // unit tangent of the edge that starts here
  double d_in = 0.0;  // outward distances
  double d_out = 0.0;

  [[nodiscard]] Vec2 end() const { return vertex - d_in * left_of(in); }      // of the moved edge before
  [[nodiscard]] Vec2 start() const { return vertex - d_out * left_of(out); }  // of the moved edge after
};

enum class JoinKind {
  kSmooth,  // end and start are one point
  kApart,   // the edges leave a gap: run on and via say how it is filled
  kInto,    // the edges run into each other
};

struct Join {
  JoinKind kind = JoinKind::kSmooth;
  double run_in = 0.0;             // the edge before runs on straight by this much
  double run_out = 0.0;            // the edge after starts this much earlier, straight
  double bulge = 0.0;              // of the piece that leaves the end of run_in (round corners); 0 straight
  std::array<ArcVertex, 2> via{};  // further vertices between the two runs
  std::size_t via_count = 0;
};

Join join_at(const CornerGeometry& corner, OffsetCorner form, double mitre_limit);

}  // namespace lastwright
