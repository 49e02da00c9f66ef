// How two moved edges are joined at the vertex between them.
#pragma once

#include <array>
#include <cstddef>
#include <limits>
#include <optional>
#include <vector>

#include "geometry/curve/arc_path.hpp"
#include "geometry/offset/offset.hpp"

namespace lastwright {

struct CornerGeometry {
  Vec2 vertex;
  Vec2 in;            // unit tangent of the edge that ends here
  Vec2 out;           // unit tangent of the edge that starts here
  double d_in = 0.0;  // outward distances
  double d_out = 0.0;
  // No edge is cut back by more than this: two corners must not ask for the same part of an edge
  // (geometry/offset/room).
  double room_in = std::numeric_limits<double>::infinity();
  double room_out = std::numeric_limits<double>::infinity();

  [[nodiscard]] Vec2 end() const { return vertex - d_in * left_of(in); }      // of the moved edge before
  [[nodiscard]] Vec2 start() const { return vertex - d_out * left_of(out); }  // of the moved edge after
};

enum class JoinKind {
  kSmooth,  // end and start are one point
  kApart,   // the edges leave a gap: run on and via say how it is filled
  kInto,    // the edges run into each other
  kHollow,  // so do what they sweep, but the line of the wider one must run on to meet the narrower one's
};

struct WayBack {
  Vec2 to;
  double bulge = 0.0;  // of the piece that leads there
};

struct Join {
  JoinKind kind = JoinKind::kSmooth;
  double run_in = 0.0;             // the edge before runs on straight by this much
  double run_out = 0.0;            // the edge after starts this much earlier, straight
  double bulge = 0.0;              // of the piece that leaves the end of run_in (round corners); 0 straight
  std::array<ArcVertex, 2> via{};  // further vertices between the two runs
  std::size_t via_count = 0;
  bool cut = false;  // an edge has been cut back already, and its run is 0
  // Of a hollow corner (geometry/offset/hollow.hpp).
  bool steps = false;                  // the outline steps down at the end of the wider edge at any turn
  double widest = 0.0;                 // the wider edge runs on by no more than this
  std::vector<WayBack> way_back = {};  // from the end of its run down to the outline and along it, or back up
  std::optional<Vec2> meets = {};  // where the moved neighbour is cut off, when nothing else is in between
};

// How the corner is filled; the forms are defined with OffsetCorner. All of them are continuous in the turn
// and in the distances and the same seen in a mirror, except that edges which go to opposite sides of the
// outline are joined by a plain jog where their lines meet beyond the mitre limit.
//
// `share`: of a step, how much of it is made, 0 to 1; 0 is the corner in full.
Join join_at(const CornerGeometry& corner, OffsetCorner form, double mitre_limit, double share = 1.0);

// How much of a step is made at an outward turn with this sine, 0 to 1: none at a turn so flat, or so sharp,
// that the lines meet the other edge's cut line too far away, all of it from 30 degrees on.
double step_share(double sine);

}  // namespace lastwright
