#include "geometry/curve/arc_path.hpp"

#include <algorithm>
#include <limits>
#include <numbers>

namespace lastwright {

namespace {

template <class Path>
double total_length(const Path& path) {
  double sum = 0.0;
  for (std::size_t i = 0; i < path.size(); ++i) sum += path.segment(i).length();
  return sum;
}

template <class Path>
Box2 total_bounds(const Path& path) {
  Box2 box;
  for (const ArcVertex& v : path.vertices) box.add(v.at);
  for (std::size_t i = 0; i < path.size(); ++i) {
    if (path.vertices[i].bulge != 0.0) box.add(path.segment(i).bounds());
  }
  return box;
}

template <class Path>
double nearest_distance(const Path& path, Vec2 p) {
  double best = std::numeric_limits<double>::infinity();
  // No segment of at most half a turn leaves the disc over its chord. With d
  // from p to its middle and h half the chord it is thus at least d - h away:
  // farther than the nearest vertex where d^2 > 2 (v^2 + h^2) >= (v + h)^2.
  double vertex = best;
  for (const ArcVertex& v : path.vertices) vertex = std::min(vertex, square_of(v.at - p));
  for (std::size_t i = 0; i < path.size(); ++i) {
    const ArcSegment s = path.segment(i);
    const double reach = vertex + 0.25 * square_of(s.b - s.a);
    if (std::abs(s.bulge) <= 1.0 && square_of(0.5 * (s.a + s.b) - p) > 2.0 * reach) continue;
    best = std::min(best, s.distance_to(p));
  }
  return best;
}

template <class Path>
Path mirror(Path path) {
  for (ArcVertex& v : path.vertices) v = {{-v.at.x, v.at.y}, -v.bulge};
  return path;
}

template <class Path>
Path place(Path path, Radians angle, Vec2 shift) {
  const double c = std::cos(angle.value());
  const double s = std::sin(angle.value());
  for (ArcVertex& v : path.vertices) {
    v.at = Vec2{c * v.at.x - s * v.at.y, s * v.at.x + c * v.at.y} + shift;
  }
  return path;
}

void flatten_segment(const ArcSegment& segment, double chord_error, std::vector<Vec2>& points) {
  points.push_back(segment.a);
  if (segment.straight()) return;
  const double ratio = std::clamp(1.0 - chord_error / segment.radius(), -1.0, 1.0);
  const double step = std::max(2.0 * std::acos(ratio), 1e-4);
  const int parts = std::max(1, static_cast<int>(std::ceil(std::abs(segment.sweep()) / step)));
  for (int k = 1; k < parts; ++k) points.push_back(segment.point_at(static_cast<double>(k) / parts));
}

}  // namespace

double length(const ClosedArcPath& path) {
  return total_length(path);
}
double length(const OpenArcPath& path) {
  return total_length(path);
}
Box2 bounds(const ClosedArcPath& path) {
  return total_bounds(path);
}
Box2 bounds(const OpenArcPath& path) {
  return total_bounds(path);
}
double distance_to(const ClosedArcPath& path, Vec2 p) {
  return nearest_distance(path, p);
}
double distance_to(const OpenArcPath& path, Vec2 p) {
  return nearest_distance(path, p);
}

double signed_area(const ClosedArcPath& path) {
  if (path.vertices.empty()) return 0.0;
  const Vec2 origin =
      path.vertices.front().at;  // near the outline: keeps digits far from the drawing's origin
  double twice = 0.0;
  double bows = 0.0;
  for (std::size_t i = 0; i < path.size(); ++i) {
    const ArcSegment s = path.segment(i);
    twice += cross(s.a - origin, s.b - origin);
    bows += s.bow_area();
  }
  return 0.5 * twice + bows;
}

int winding_of(const ArcSegment& s, Vec2 p) {
  // A point on the chord counts as moved by (e, e^2), so that chord and bow agree about its side.
  int winding = 0;
  const Vec2 chord = s.b - s.a;
  const Vec2 from = p - s.a;
  const double across = cross(chord, from);
  double side = across;
  if (side == 0.0) side = chord.y != 0.0 ? -chord.y : chord.x;
  if (s.a.y <= p.y) {
    if (s.b.y > p.y && side > 0.0) ++winding;
  } else if (s.b.y <= p.y && side < 0.0) {
    --winding;
  }
  // The bow lies right of its chord for a left turn and left of it for a right turn, whatever its sweep:
  // the part of the disc on that side is the bow.
  if (s.bulge * side >= 0.0) return winding;
  // In the disc: bulge (|p - centre|^2 - radius^2) < 0,
  // multiplied out so that a distant centre costs nothing.
  const double b = s.bulge;
  const double off = 2.0 * b * (dot(from, from) - dot(chord, from)) + (b * b - 1.0) * across;
  if (b * off < 0.0) winding += b > 0.0 ? 1 : -1;
  return winding;
}

int winding_number(const ClosedArcPath& path, Vec2 p) {
  int winding = 0;
  for (std::size_t i = 0; i < path.size(); ++i) winding += winding_of(path.segment(i), p);
  return winding;
}

bool contains(const ClosedArcPath& path, Vec2 p) {
  return winding_number(path, p) != 0;
}

ClosedArcPath reversed(const ClosedArcPath& path) {
  ClosedArcPath back;
  const std::size_t n = path.size();
  back.vertices.reserve(n);
  for (std::size_t k = 0; k < n; ++k) {
    const std::size_t i = (n - k) % n;           // vertices 0, n-1, n-2, ...
    const std::size_t before = (i + n - 1) % n;  // the segment that ended at i now starts there
    back.vertices.push_back({path.vertices[i].at, -path.vertices[before].bulge});
  }
  return back;
}

OpenArcPath reversed(const OpenArcPath& path) {
  OpenArcPath back;
  const std::size_t n = path.vertices.size();
  back.vertices.reserve(n);
  for (std::size_t k = 0; k < n; ++k) {
    const std::size_t i = n - 1 - k;
    back.vertices.push_back({path.vertices[i].at, i > 0 ? -path.vertices[i - 1].bulge : 0.0});
  }
  return back;
}

ClosedArcPath mirrored(const ClosedArcPath& path) {
  return mirror(path);
}
OpenArcPath mirrored(const OpenArcPath& path) {
  return mirror(path);
}
ClosedArcPath placed(const ClosedArcPath& path, Radians angle, Vec2 shift) {
  return place(path, angle, shift);
}
OpenArcPath placed(const OpenArcPath& path, Radians angle, Vec2 shift) {
  return place(path, angle, shift);
}

std::vector<Vec2> flattened(const ClosedArcPath& path, Millimetres chord_error) {
  std::vector<Vec2> points;
  for (std::size_t i = 0; i < path.size(); ++i) flatten_segment(path.segment(i), chord_error.value(), points);
  return points;
}

std::vector<Vec2> flattened(const OpenArcPath& path, Millimetres chord_error) {
  std::vector<Vec2> points;
  for (std::size_t i = 0; i < path.size(); ++i) flatten_segment(path.segment(i), chord_error.value(), points);
  if (!path.vertices.empty()) points.push_back(path.vertices.back().at);
  return points;
}

}  // namespace lastwright
