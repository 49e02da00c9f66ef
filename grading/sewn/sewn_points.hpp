// Numbered points along the lines of a piece, the same in every size.
#pragma once

#include <cstdint>
#include <vector>

#include "geometry/curve/arc_path.hpp"
#include "geometry/units.hpp"

namespace lastwright {

struct TrackPoint {
  Vec2 at;
  bool turn = true;         // a corner
  std::uint16_t label = 0;  // of the segment that starts here
};

// One line in one size: its segments, each with a label (the edge it belongs to).
struct Track {
  std::vector<ArcSegment> segments;  // each begins where the one before ended
  std::vector<std::uint16_t> labels;
  bool closed = false;
};

Track track_of(const ClosedArcPath& path);
Track track_of(const ClosedArcPath& path, const std::vector<std::uint16_t>& labels);
Track track_of(const OpenArcPath& path);

// The points of one line in all sizes. Alike: the line has the same corners in every size, and its points
// stand for the same places one to one, at equal shares of the length between two corners; else, and where no
// such points follow it in every size, each size has points of its own.
struct NumberedTracks {
  std::vector<std::vector<TrackPoint>> points;
  bool alike = true;
};
// As many points as it takes: the straight lines from point to point, and the splines through the points
// between two corners (grading/sewn/sewn_curve), stay within `tolerance` of the line in every size.
NumberedTracks number_tracks(const std::vector<Track>& sizes, std::size_t base, Millimetres tolerance);

}  // namespace lastwright
