// A straight or circular segment given by its end points and its bulge: exact ends, exact length and area.
//
// bulge = tan(sweep / 4), positive when the segment turns to the left
// (counter-clockwise), 0 for a straight one. This is also how DXF stores the arcs of a
// polyline, so nothing is lost between the engine and a drawing. |bulge| <= 1 (at most
// a half circle) keeps every formula below well conditioned; larger ones are legal.
#pragma once

#include "geometry/box2.hpp"
#include "geometry/vec2.hpp"

namespace lastwright {

// Just below the bulge of a quarter turn, tan(22.5 degrees):
// flatter arcs turn by less, whatever the rounding.
inline constexpr double kUnderQuarterTurn = 0.41;

struct ArcSegment {
  Vec2 a;
  Vec2 b;
  double bulge = 0.0;

  [[nodiscard]] bool straight() const { return bulge == 0.0; }
  [[nodiscard]] double chord() const { return distance(a, b); }
  // Signed turn of the tangent from a to b, radians.
  [[nodiscard]] double sweep() const { return 4.0 * std::atan(bulge); }
  // Radius, infinite for a straight segment.
  [[nodiscard]] double radius() const;
  // Signed curvature, positive for a left turn; 0 for a straight segment.
  [[nodiscard]] double curvature() const { return 4.0 * bulge / ((1.0 + bulge * bulge) * chord()); }
  // tangent_at(0) and tangent_at(1) without trigonometry.
  [[nodiscard]] Vec2 start_tangent() const { return turned_chord(-bulge); }
  [[nodiscard]] Vec2 end_tangent() const { return turned_chord(bulge); }
  // Precondition: not straight.
  [[nodiscard]] Vec2 centre() const;
  [[nodiscard]] double length() const;
  // Area between the segment and its chord, positive for a left turn (lies right of the chord a -> b).
  [[nodiscard]] double bow_area() const;
  // t in [0, 1], uniform in arc length.
  [[nodiscard]] Vec2 point_at(double t) const;
  // Unit tangent in the direction of travel. {0,0} for a segment without length.
  [[nodiscard]] Vec2 tangent_at(double t) const;
  [[nodiscard]] Box2 bounds() const;
  [[nodiscard]] ArcSegment reversed() const { return {b, a, -bulge}; }
  // The part between two parameters, 0 <= t0 < t1 <= 1.
  [[nodiscard]] ArcSegment part(double t0, double t1) const;
  // Parameter of the nearest point of the segment; steady for arcs that are almost straight.
  [[nodiscard]] double nearest(Vec2 p) const;
  [[nodiscard]] double distance_to(Vec2 p) const;
  // Whether the foot of p lies inside the segment: p is in the strip of a line, the sector of an arc.
  [[nodiscard]] bool faces(Vec2 p) const;

 private:
  // The unit chord turned by twice the angle whose tangent is `turn`: half the sweep when b is the bulge.
  [[nodiscard]] Vec2 turned_chord(double turn) const {
    const Vec2 along = unit(b - a);
    const double f = 1.0 / (1.0 + turn * turn);
    return f * ((1.0 - turn * turn) * along + 2.0 * turn * left_of(along));
  }
};

// The arc from a to b that leaves a along the unit vector `tangent`; straight when b lies straight ahead.
ArcSegment arc_from_tangent(Vec2 a, Vec2 tangent, Vec2 b);

}  // namespace lastwright
