// Random outlines with a distance for each edge and a form for each corner, and changes that must not change
// what comes out.
#pragma once

#include <rapidcheck.h>

#include <cmath>
#include <numbers>
#include <ostream>
#include <vector>

#include "geometry/check/simple.hpp"
#include "geometry/offset/offset.hpp"

namespace lastwright::test {

struct OffsetCase {
  ClosedArcPath path;
  std::vector<Millimetres> distances;
  std::vector<OffsetCorner> forms;  // one for each vertex

  [[nodiscard]] Result<OffsetOutline> offset(bool fill_pockets = true) const {
    OffsetOptions options;
    options.corners = forms;
    options.fill_pockets = fill_pockets;
    return lastwright::offset(path, distances, options);
  }
};

// As the path is printed into a C++ file, for what a law finds.
inline std::ostream& operator<<(std::ostream& out, const OffsetCase& c) {
  for (std::size_t i = 0; i < c.path.size(); ++i) {
    const ArcVertex& v = c.path.vertices[i];
    out << "{{" << v.at.x << ", " << v.at.y << "}, " << v.bulge << "}  by " << c.distances[i].value()
        << ", form " << static_cast<int>(c.forms[i]) << "\n";
  }
  return out;
}

inline bool roomy(const ClosedArcPath& path) {
  SimpleOptions apart;
  apart.touch = Millimetres(0.5);
  apart.shortest = Millimetres(0.5);
  // Neighbours that cross closer than that to their common point are seen by the usual check.
  return check_simple(path, apart).ok() && check_simple(path).ok();
}

// Vertices at rising angles about the origin, joined by lines and arcs; drawn until the outline is simple.
inline OffsetCase offset_case(const std::vector<OffsetCorner>& forms) {
  while (true) {
    OffsetCase c;
    const int count = *rc::gen::inRange(3, 16);
    for (int i = 0; i < count; ++i) {
      const double angle = 2 * std::numbers::pi * (i + *rc::gen::inRange(0, 700) / 1000.0) / count;
      const double r = *rc::gen::inRange(15000, 60000) / 1000.0;
      const double bulge = *rc::gen::element(0.0, 0.0, 0.0, 0.1, -0.1, 0.35, -0.5);
      c.path.vertices.push_back({{1.6 * r * std::cos(angle), r * std::sin(angle)}, bulge});
      c.distances.emplace_back(*rc::gen::element(0.0, 1.5, 4.0, 8.0, 18.0));
      c.forms.push_back(*rc::gen::elementOf(forms));
    }
    if (roomy(c.path)) return c;
  }
}

inline OffsetCase mirrored(const OffsetCase& c) {
  OffsetCase m;
  const std::size_t n = c.path.size();
  for (std::size_t i = n; i-- > 0;) {
    const ArcSegment s = c.path.segment(i);
    m.path.vertices.push_back({{-s.b.x, s.b.y}, s.bulge});
    m.distances.push_back(c.distances[i]);
    m.forms.push_back(c.forms[(i + 1) % n]);
  }
  return m;
}

inline ClosedArcPath mirrored(const ClosedArcPath& path) {
  return mirrored(OffsetCase{path, std::vector<Millimetres>(path.size(), Millimetres(0.0)),
                             std::vector<OffsetCorner>(path.size())})
      .path;
}

// The same from another vertex on.
inline OffsetCase started_at(const OffsetCase& c, std::size_t first) {
  OffsetCase m;
  for (std::size_t i = 0; i < c.path.size(); ++i) {
    const std::size_t k = (i + first) % c.path.size();
    m.path.vertices.push_back(c.path.vertices[k]);
    m.distances.push_back(c.distances[k]);
    m.forms.push_back(c.forms[k]);
  }
  return m;
}

// Turned about the origin and moved.
inline OffsetCase moved(const OffsetCase& c, double angle, Vec2 by) {
  OffsetCase m = c;
  for (ArcVertex& v : m.path.vertices) v.at = turned(v.at, angle) + by;
  return m;
}

// Every edge in so many equal parts.
inline OffsetCase split(const OffsetCase& c, const std::vector<int>& parts) {
  OffsetCase m;
  for (std::size_t i = 0; i < c.path.size(); ++i) {
    for (int k = 0; k < parts[i]; ++k) {
      const ArcSegment s = c.path.segment(i).part(k / double(parts[i]), (k + 1) / double(parts[i]));
      m.path.vertices.push_back({k == 0 ? c.path.vertices[i].at : s.a, s.bulge});
      m.distances.push_back(c.distances[i]);
      m.forms.push_back(k == 0 ? c.forms[i] : OffsetCorner::kMitre);
    }
  }
  return m;
}

// How far some points of each outline are from the other one.
inline double apart(const ClosedArcPath& one, const ClosedArcPath& two) {
  double most = 0.0;
  for (const auto& [a, b] : {std::pair{&one, &two}, std::pair{&two, &one}}) {
    for (std::size_t i = 0; i < a->size(); ++i) {
      for (const double t : {0.0, 0.23, 0.5, 0.77})
        most = std::max(most, distance_to(*b, a->segment(i).point_at(t)));
    }
  }
  return most;
}

}  // namespace lastwright::test
