#include "grading/checks/seams/edge_in_seam.hpp"

#include <algorithm>
#include <limits>
#include <numbers>

#include "grading/style/style.hpp"

namespace lastwright {

namespace {

Radians inner_angle(const ArcSegment& in, const ArcSegment& out) {
  return Radians(std::numbers::pi - angle_between(in.end_tangent(), out.start_tangent()));
}

// Place of the nearest point of the outline: its segment and how far along it.
struct PathFoot {
  std::size_t segment = 0;
  double along = 0.0;
  double distance = std::numeric_limits<double>::infinity();
};
PathFoot foot_on(const ClosedArcPath& path, Vec2 p) {
  PathFoot best;
  for (std::size_t i = 0; i < path.size(); ++i) {
    const ArcSegment s = path.segment(i);
    const double d = s.distance_to(p);
    if (!(d < best.distance)) continue;
    const double t = s.nearest(p);
    best = {i, s.part(0.0, t).length(), d};
  }
  return best;
}

// Nicks that the style states for the edge.
void add_stated_nicks(const PieceSpec& piece, const std::string& edge, EdgeInSeam& sewn) {
  for (std::size_t f = 0; f < piece.features.size(); ++f) {
    const auto* nick = std::get_if<NickWork>(&piece.features[f].work);
    if (nick && nick->edge == edge)
      sewn.nicks.push_back({nick->station.along(sewn.length), -1 - static_cast<int>(f)});
  }
}

}  // namespace

std::string name_of(const NickInSeam& nick, const PieceSpec& piece) {
  return nick.number >= 0 ? "a drawn nick" : piece.features[static_cast<std::size_t>(-1 - nick.number)].name;
}

std::optional<EdgeInSeam> edge_in_seam(const EdgedOutline& net, const std::vector<GradedLine>& lines,
                                       const BoundPiece& bound, std::size_t edge) {
  const std::size_t n = net.edge.size();
  std::size_t first = n;
  for (std::size_t i = 0; i < n && first == n; ++i) {
    if (net.edge[i] == edge && net.edge[(i + n - 1) % n] != edge) first = i;
  }
  if (first == n && n > 0 && net.edge[0] == edge) first = 0;  // an outline of one edge starts at its corner
  if (first == n) return std::nullopt;
  EdgeInSeam sewn;
  std::vector<double> starts(n, -1.0);
  std::size_t count = 0;
  for (; count < n && net.edge[(first + count) % n] == edge; ++count) {
    const std::size_t k = (first + count) % n;
    starts[k] = sewn.length;
    sewn.path.vertices.push_back(net.path.vertices[k]);
    sewn.length += net.path.segment(k).length();
  }
  const std::size_t after = (first + count) % n;
  sewn.path.vertices.push_back({net.path.vertices[after].at, 0.0});
  sewn.angle_at_start = inner_angle(net.path.segment((first + n - 1) % n), net.path.segment(first));
  sewn.angle_at_end = inner_angle(net.path.segment((after + n - 1) % n), net.path.segment(after));
  int drawn = -1;
  for (const GradedLine& line : lines) {
    if (line.operation != Operation::kNick || line.path.vertices.empty()) continue;
    ++drawn;
    const PathFoot foot = foot_on(net.path, line.path.vertices.front().at);
    if (starts[foot.segment] >= 0.0) sewn.nicks.push_back({starts[foot.segment] + foot.along, drawn});
  }
  add_stated_nicks(bound.spec, bound.edges[edge].spec.name, sewn);
  std::sort(sewn.nicks.begin(), sewn.nicks.end(),
            [](const NickInSeam& a, const NickInSeam& b) { return a.along < b.along; });
  return sewn;
}

EdgeInSeam reversed(EdgeInSeam edge) {
  edge.path = reversed(edge.path);
  std::swap(edge.angle_at_start, edge.angle_at_end);
  for (NickInSeam& nick : edge.nicks) nick.along = edge.length - nick.along;
  std::reverse(edge.nicks.begin(), edge.nicks.end());
  return edge;
}

}  // namespace lastwright
