// Outlines made of straight and circular segments: what is cut, drawn and measured.
//
// A ClosedArcPath of n vertices has n segments, the last one running back to the first vertex; an OpenArcPath
// of n vertices has n - 1. They are two types, so that no flag can be wrong. Segment i starts at vertex i.
// Neither type promises simplicity or orientation: geometry/check tells.
#pragma once

#include <cstddef>
#include <vector>

#include "geometry/curve/arc_segment.hpp"
#include "geometry/units.hpp"

namespace lastwright {

struct ArcVertex {
  Vec2 at;
  double bulge = 0.0;  // of the segment that starts here
  bool operator==(const ArcVertex&) const = default;
};

struct ClosedArcPath {
  std::vector<ArcVertex> vertices;

  [[nodiscard]] std::size_t size() const { return vertices.size(); }
  [[nodiscard]] ArcSegment segment(std::size_t i) const {
    const ArcVertex& from = vertices[i];
    return {from.at, vertices[i + 1 == vertices.size() ? 0 : i + 1].at, from.bulge};
  }
};

struct OpenArcPath {
  std::vector<ArcVertex> vertices;  // the last vertex's bulge is 0 and means nothing

  [[nodiscard]] std::size_t size() const { return vertices.empty() ? 0 : vertices.size() - 1; }
  [[nodiscard]] ArcSegment segment(std::size_t i) const {
    return {vertices[i].at, vertices[i + 1].at, vertices[i].bulge};
  }
};

// Exact up to rounding: sums over the segments, arcs by formula.
double length(const ClosedArcPath& path);
double length(const OpenArcPath& path);
// Positive for a counter-clockwise outline.
double signed_area(const ClosedArcPath& path);
Box2 bounds(const ClosedArcPath& path);
Box2 bounds(const OpenArcPath& path);
// How often the outline runs round p, counter-clockwise positive. A point on the outline counts as moved off
// it a little.
int winding_number(const ClosedArcPath& path, Vec2 p);
// What one segment adds to it: 1 where its chord is crossed to the right of p, and one more turn where p lies
// in the bow between chord and arc.
int winding_of(const ArcSegment& segment, Vec2 p);
// True inside by the winding rule (non-zero). Points on the outline may go either way.
bool contains(const ClosedArcPath& path, Vec2 p);
// Distance from p to the nearest point of the path; infinite for an empty path.
double distance_to(const ClosedArcPath& path, Vec2 p);
double distance_to(const OpenArcPath& path, Vec2 p);

ClosedArcPath reversed(const ClosedArcPath& path);  // starts at the same vertex
OpenArcPath reversed(const OpenArcPath& path);
// Mirrored in the line x = 0; bulges change sign, so the orientation turns over.
ClosedArcPath mirrored(const ClosedArcPath& path);
OpenArcPath mirrored(const OpenArcPath& path);
// Turned by `angle` about the origin, then moved by `shift`.
ClosedArcPath placed(const ClosedArcPath& path, Radians angle, Vec2 shift);
OpenArcPath placed(const OpenArcPath& path, Radians angle, Vec2 shift);

// Points along the path such that no chord leaves its arc by more than `chord_error`; a closed path does not
// repeat its first point. For pictures and outside checks only: nothing is cut from flattened points.
std::vector<Vec2> flattened(const ClosedArcPath& path, Millimetres chord_error);
std::vector<Vec2> flattened(const OpenArcPath& path, Millimetres chord_error);

}  // namespace lastwright
