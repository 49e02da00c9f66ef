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

// How the outline goes round a corner between two edges that move apart. The wedge at the corner is what lies
// between the normals at the ends of the two edges; the lines of both edges, moved, run on through it.
//
// With every form but kMitre and kStep each edge has its own distance right to its end: along its normal at
// any of its points the outline is nowhere nearer than that.
enum class OffsetCorner {
  kMitre,  // both lines up to where they meet. Where the edges turn little and the distances differ this cuts
           // the wider one back, off part of its own edge
  kFull,   // the wedge as far as neither line is crossed: a mitre where that cuts back neither edge; else the
           // wider distance holds to the end of its edge and the outline steps down to the narrower line,
           // square to the wider edge. A step lower than what can be cut (tolerance::kShortestSegment)
           // slopes down to where the narrower edge begins instead, one up to twice as low in part
  kSquare,  // in full, but cut across at the larger distance from the corner, square to its bisector
  kStep,    // each ends on the other edge's own line run on through the corner, and the outline steps back to
          // the corner point. Where the turn is below 30 degrees (or above 150), or the outline itself is in
          // the way, the step becomes flatter, and below 14.5 degrees it is the corner in full
  kRound,  // in full, but nowhere farther from the corner than the larger distance: an arc about it
};
// Where two edges move into each other they are cut off where they cross, whatever the form. At a hollow
// corner between different distances the line of the wider edge runs on to where it meets the narrower one,
// no farther than 1.75 times the wider distance. Where the edges turn by less than 30 degrees it runs
// on by less, and below 11.5 degrees, and with kStep at any turn, not at all: the outline steps down at the
// end of the wider edge, square to it.
//
// Nothing runs on farther than the mitre limit: a tip farther from its corner than that many times the larger
// distance is cut across there, square to the bisector. Along a line that hardly turns away (below the angle
// at which the limit is reached) nothing is run on or cut back farther than the limit squared, times the sine
// of the turn, times the larger distance, and the outline steps down there, square to the wider edge; so no
// form jumps when an outline changes a little.

struct OffsetOptions {
  OffsetCorner corner = OffsetCorner::kMitre;
  std::vector<OffsetCorner> corners = {};  // one for each vertex of the source; empty: `corner` everywhere
  double mitre_limit = 4.0;
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
// edges sweep, or without it for inward distances. An opening that outward distances close over is refused,
// wherever it lies and whether or not a pocket of it is left (geometry/offset/opening.hpp says what counts as
// one); so is a distance of more than ten times the outline's own size. The Problem, when nothing is left,
// the outline falls apart or closes over a pocket, names the place, the largest distance asked for as value,
// and as limit how large it could be if all distances were reduced in proportion.
Result<OffsetOutline> offset(const ClosedArcPath& path, std::span<const Millimetres> distances,
                             const OffsetOptions& options = {});
Result<OffsetOutline> offset(const ClosedArcPath& path, Millimetres distance,
                             const OffsetOptions& options = {});

// Anything wider is refused without a look: ten times the outline's own size.
Millimetres widest_offset(const ClosedArcPath& path);

// Whether offset() gives an outline; where it does not this
// is quicker, for it does not look for what would fit.
bool offset_fits(const ClosedArcPath& path, std::span<const Millimetres> distances,
                 const OffsetOptions& options = {});

// The line at `left` mm on the left-hand side of an open path (below 0: the
// right-hand side), trimmed where it comes nearer than that to any part of
// the path. Refused as above when nothing or more than one piece is left.
Result<OpenArcPath> offset_open(const OpenArcPath& path, Millimetres left, const OffsetOptions& options = {});

}  // namespace lastwright
