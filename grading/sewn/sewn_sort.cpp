#include "grading/sewn/sewn_sort.hpp"

namespace lastwright {

namespace {

ClosedArcPath circle(const GradedHole& hole) {
  const Vec2 out{hole.radius, 0.0};
  return {{{hole.centre - out, 1.0}, {hole.centre + out, 1.0}}};
}

// The end of a nick that lies on the edge.
Vec2 on_edge(const OpenArcPath& nick, const ClosedArcPath& cut) {
  const Vec2 first = nick.vertices.front().at;
  const Vec2 last = nick.vertices.back().at;
  return distance_to(cut, first) <= distance_to(cut, last) ? first : last;
}

}  // namespace

SewnSorted sorted(const GradedPiece& piece) {
  const auto edged = [](const EdgedOutline& o) { return track_of(o.path, o.edge); };
  SewnSorted sorted;
  sorted.boundary = edged(piece.cut);
  if (piece.net.path.vertices != piece.cut.path.vertices) sorted.sew.push_back(edged(piece.net));
  for (const ClosedArcPath& cut_out : piece.cut_outs) sorted.cut_outs.push_back(track_of(cut_out));
  for (const GradedLine& line : piece.lines) {
    if (line.path.size() == 0) continue;
    if (line.operation == Operation::kNick) {
      (line.tells.any() ? sorted.size_notches : sorted.notches).push_back(on_edge(line.path, piece.cut.path));
    } else if (line.operation == Operation::kGrain) {
      sorted.grain = std::pair(line.path.vertices.front().at, line.path.vertices.back().at);
    } else {
      auto& lines = line.operation == Operation::kStitch ? sorted.sew : sorted.internal;
      lines.push_back(track_of(line.path));
    }
  }
  for (const GradedHole& hole : piece.holes) {
    if (hole.operation == Operation::kCutOut && hole.radius > 0.0) {
      sorted.cut_outs.push_back(track_of(circle(hole)));
    } else {
      sorted.drills.push_back(hole.centre);
    }
  }
  return sorted;
}

ClosedArcPath closed_path(const Track& track) {
  ClosedArcPath path;
  for (const ArcSegment& segment : track.segments) path.vertices.push_back({segment.a, segment.bulge});
  return path;
}

OpenArcPath open_path(const Track& track) {
  OpenArcPath path;
  for (const ArcSegment& segment : track.segments) path.vertices.push_back({segment.a, segment.bulge});
  path.vertices.push_back({track.segments.back().b, 0.0});
  return path;
}

}  // namespace lastwright
