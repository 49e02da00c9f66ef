#include "grading/pieces/unfold.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/tolerance.hpp"
#include "grading/pieces/mirror.hpp"

namespace lastwright {

namespace {

// Whether the path lies where its mirror image does: its nodes and middles do.
template <class Path>
bool own_image(const Path& path, const Path& image) {
  const auto on_image = [&](Vec2 p) { return distance_to(image, p) <= tolerance::kMapped.value(); };
  for (const ArcVertex& vertex : path.vertices) {
    if (!on_image(vertex.at)) return false;
  }
  for (std::size_t i = 0; i < path.size(); ++i) {
    if (!on_image(path.segment(i).point_at(0.5))) return false;
  }
  return true;
}

}  // namespace

Result<GradedPiece> unfolded(const GradedPiece& half, std::uint16_t fold_edge) {
  const auto& edge = half.net.edge;
  const std::size_t n = edge.size();
  // The segments in walking order from the end of the fold back to its start.
  std::size_t first = n;
  for (std::size_t i = 0; i < n; ++i) {
    if (edge[i] != fold_edge && edge[(i + n - 1) % n] == fold_edge) first = i;
  }
  if (first == n) {
    return Problem{Trouble::kGeometry, "the outline has no fold edge, or nothing but it", {}, {}, {}}.in(
        "piece", half.piece);
  }
  std::size_t count = 0;
  while (edge[(first + count) % n] != fold_edge) ++count;
  const Vec2 top = half.net.path.vertices[first].at;                   // end of the fold
  const Vec2 bottom = half.net.path.vertices[(first + count) % n].at;  // its start
  const Mirror mirror{bottom, unit(top - bottom)};
  for (std::size_t i = count; i < n; ++i) {
    const ArcSegment s = half.net.path.segment((first + i) % n);
    const double off = std::max(std::abs(cross(mirror.along, s.a - bottom)),
                                std::abs(cross(mirror.along, s.point_at(0.5) - bottom)));
    if (!(off <= tolerance::kMapped.value())) {
      return Problem{Trouble::kGeometry,
                     "the fold edge is not straight, so the piece cannot be unfolded through it",
                     {},
                     off,
                     tolerance::kMapped.value()}
          .in("piece", half.piece);
    }
  }

  GradedPiece whole;
  whole.piece = half.piece;
  whole.at = half.at;
  OpenArcPath side;
  for (std::size_t i = 0; i < count; ++i) {
    const std::size_t k = (first + i) % n;
    side.vertices.push_back(half.net.path.vertices[k]);
    whole.net.edge.push_back(edge[k]);
  }
  side.vertices.push_back({bottom, 0.0});
  const OpenArcPath back =
      reversed(mirror.image(side));  // from the fold's start to its end, on the other side
  whole.net.path.vertices.assign(side.vertices.begin(), side.vertices.end() - 1);
  for (std::size_t i = 0; i < count; ++i) {
    whole.net.path.vertices.push_back(back.vertices[i]);
    whole.net.edge.push_back(whole.net.edge[count - 1 - i]);
  }
  whole.cut = whole.net;
  whole.lines.push_back({OpenArcPath{{{bottom, 0.0}, {top, 0.0}}}, Operation::kFold});
  for (const GradedLine& line : half.lines) {
    whole.lines.push_back(line);
    if (line.operation == Operation::kGrain) continue;
    OpenArcPath image = mirror.image(line.path);
    if (!own_image(line.path, image)) whole.lines.push_back({std::move(image), line.operation});
  }
  for (const ClosedArcPath& cut_out : half.cut_outs) {
    whole.cut_outs.push_back(cut_out);
    ClosedArcPath image = reversed(mirror.image(cut_out));
    if (!own_image(cut_out, image)) whole.cut_outs.push_back(std::move(image));
  }
  for (const GradedHole& hole : half.holes) {
    whole.holes.push_back(hole);
    if (std::abs(cross(mirror.along, hole.centre - bottom)) > tolerance::kMapped.value()) {
      whole.holes.push_back({mirror(hole.centre), hole.radius, hole.operation});
    }
  }
  whole.texts = half.texts;
  return whole;
}

}  // namespace lastwright
