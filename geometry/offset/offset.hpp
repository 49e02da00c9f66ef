// Parallel outlines: an allowance added to every edge of a piece, or taken away again.
//
// A distance above 0 moves its edge outward, below 0 inward, 0 leaves it where it is. Arcs become concentric
// arcs, so the result is exact: every point that does not belong to a corner treatment has its distance from
// the edge it comes from up to rounding (1e-6 mm and better, far inside the budget of 0.01 mm).
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "geometry/curve/arc_path.hpp"
#include "geometry/result.hpp"

namespace lastwright {

// What fills the gap between two edges that move apart at a corner. Where they move into each other they are
// cut off where they cross, whatever the treatment.
enum class OffsetCorner {
  kMitre,   // both run on straight until they meet; beyond the mitre limit square instead
  kSquare,  // both run on straight to a cut across the corner, at the larger distance from its point
  kStep,    // each ends on the other edge's own line run on through the corner, and the outline steps back to
            // the corner point. Edges that hardly turn, or treatments that would run too far or through the
            // outline: a plain jog from end to end
  kRound,   // an arc about the corner, of the larger distance
};

struct OffsetOptions {
  OffsetCorner corner = OffsetCorner::kMitre;
  std::vector<OffsetCorner> corners = {};  // one for each vertex of the source; empty: `corner` everywhere
  double mitre_limit = 4.0;   // a mitre's tip may be this many times the larger distance from its corner
  bool fill_pockets = false;  // an opening that an allowance closes over is filled instead of refused
};

struct OffsetSource {
  std::uint32_t segment = 0;  // of the source outline; for a corner piece the one before or after the corner
  bool corner = false;        // part of a corner treatment
  bool operator==(const OffsetSource&) const = default;
};

struct OffsetOutline {
  ClosedArcPath path;                // simple, counter-clockwise
  std::vector<OffsetSource> source;  // one for each segment of `path`
  std::vector<Vec2> filled;          // a point on each pocket that was filled
};

// `distances`: one for each segment. Precondition: `path` is simple and counter-clockwise (check_simple).
// Parts that overlap themselves are cut away: what remains bounds the outline together with everything its
// edges sweep, or without it for inward distances. The Problem, when nothing is left, the outline falls apart
// or closes over a pocket, names the place, the largest distance asked for as value, and as limit how large
// it could be if all distances were reduced in proportion.
Result<OffsetOutline> offset(const ClosedArcPath& path, std::span<const Millimetres> distances,
                             const OffsetOptions& options = {});
Result<OffsetOutline> offset(const ClosedArcPath& path, Millimetres distance,
                             const OffsetOptions& options = {});

// Whether offset() gives an outline; where it does not this is quicker, for it does not look for what would
// fit.
bool offset_fits(const ClosedArcPath& path, std::span<const Millimetres> distances,
                 const OffsetOptions& options = {});

// The line at `left` mm on the left-hand side of an open path (below 0: the right-hand side), trimmed where
// it comes nearer than that to any part of the path. Refused as above when nothing or more than one piece is
// left.
Result<OpenArcPath> offset_open(const OpenArcPath& path, Millimetres left, const OffsetOptions& options = {});

}  // namespace lastwright
