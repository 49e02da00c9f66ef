// The edges of an outline moved and joined, before anything that overlaps is cut away.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "geometry/offset/corner.hpp"
#include "geometry/offset/moved_edge.hpp"
#include "geometry/offset/offset.hpp"

namespace lastwright {

struct MovedPiece {
  ArcSegment segment;
  OffsetSource source;
};

// The edges and how they are joined; joins[i] follows edges[i].
struct MovedOutline {
  std::vector<MovedEdge> edges;
  std::vector<Join> joins;
};
MovedOutline moved_outline(const ClosedArcPath& path, std::span<const Millimetres> distances,
                           const OffsetOptions& options);

// A closed run of pieces whose winding number is above 0 exactly inside the offset outline: where edges run
// into each other it goes from one to the other by way of their vertex. An edge keeps its turn and has its
// ends pushed along their normals; an arc tighter than the distance thus comes out turned inside out, as the
// winding rule needs it.
std::vector<MovedPiece> closed_run(const MovedOutline& moved);
// The same for an open path, without anything at its ends.
std::vector<MovedPiece> open_run(const OpenArcPath& path, Millimetres outward, const OffsetOptions& options);

// The common case: every edge survives and neighbours that run into each other
// cross. The result is trimmed at these crossings but not yet known to be
// simple. Nothing when an edge is used up: then the winding rule must decide.
std::optional<OffsetOutline> trimmed_edges(const MovedOutline& moved);

}  // namespace lastwright
