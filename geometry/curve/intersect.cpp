#include "geometry/curve/intersect.hpp"

#include <algorithm>

namespace lastwright {

namespace {

// One Newton step onto both carriers; takes back what a distant centre cost. Not near tangency.
Vec2 polished(Vec2 p, const ArcSegment& one, const ArcSegment& two) {
  const ArcSegment* const both[2] = {&one, &two};
  double f[2];
  Vec2 slope[2];
  for (int i = 0; i < 2; ++i) {
    const ArcSegment& s = *both[i];
    const double k = s.curvature();
    const Vec2 n = left_of(s.start_tangent());
    const Vec2 w = p - s.a;
    f[i] = 0.5 * k * dot(w, w) - dot(n, w);
    slope[i] = k * w - n;
  }
  const double d = cross(slope[0], slope[1]);
  if (std::abs(d) < 1e-4) return p;
  return p - Vec2{f[0] * slope[1].y - f[1] * slope[0].y, f[1] * slope[0].x - f[0] * slope[1].x} / d;
}

CarrierPoints line_points(const ArcSegment& one, const ArcSegment& two) {
  CarrierPoints points;
  const Vec2 u = one.b - one.a;
  const Vec2 v = two.b - two.a;
  const double d = cross(u, v);
  if (std::abs(d) > 1e-14 * norm(u) * norm(v)) points.add(one.a + (cross(two.a - one.a, v) / d) * u);
  return points;
}

// A carrier as the zero of f(p) = k/2 |p - a|^2 - n.(p - a), k its curvature and n its left normal at a: near
// the carrier f is the distance from it, and a straight line is no special case. On the circle c + r e, |e| =
// 1, f is constant + across . e.
struct OnCircle {
  Vec2 centre;
  double radius;
  double constant;
  Vec2 across;
};

OnCircle restrict_to_circle(const ArcSegment& circle, const ArcSegment& other) {
  const Vec2 c = circle.centre();
  const double r = circle.radius();
  const double k = other.curvature();
  const Vec2 n = left_of(other.start_tangent());
  const Vec2 d = c - other.a;
  return {c, r, 0.5 * k * (dot(d, d) + r * r) - dot(n, d), r * (k * d - n)};
}

// The more strongly curved of two segments comes first.
std::pair<const ArcSegment*, const ArcSegment*> by_curvature(const ArcSegment& one, const ArcSegment& two) {
  const bool swap = std::abs(one.curvature()) < std::abs(two.curvature());
  return swap ? std::pair{&two, &one} : std::pair{&one, &two};
}

// p lies on the carrier: whether it also lies on the segment, or within `touch` of its ends.
bool on_segment(const ArcSegment& s, Vec2 p, double touch) {
  if (distance(p, s.a) <= touch || distance(p, s.b) <= touch) return true;
  const Vec2 along = s.b - s.a;
  if (s.straight()) {
    const double reach = dot(p - s.a, along);
    return reach >= 0.0 && reach <= dot(along, along);
  }
  const double side = cross(along, p - s.a);
  return s.bulge > 0.0 ? side <= 0.0 : side >= 0.0;
}

void add(Contacts& found, const ArcSegment& one, const ArcSegment& two, Vec2 p, double touch) {
  for (std::size_t i = 0; i < found.count; ++i) {
    if (distance(found.all[i].at, p) <= touch) return;
  }
  found.all[found.count++] = {p, one.nearest(p), two.nearest(p)};
}

}  // namespace

CarrierPoints carrier_points(const ArcSegment& one, const ArcSegment& two, double touch) {
  if (one.straight() && two.straight()) return line_points(one, two);
  const auto [circle, other] = by_curvature(one, two);
  const OnCircle f = restrict_to_circle(*circle, *other);
  const double reach = norm(f.across);
  CarrierPoints points;
  if (reach <= 1e-14 * f.radius) return points;
  const Vec2 toward = (f.constant > 0.0 ? -1.0 : 1.0) / reach * f.across;
  const double miss = std::abs(f.constant) - reach;
  if (miss > touch) return points;
  if (miss > 0.0) {
    points.add(f.centre + f.radius * toward);
    return points;
  }
  const double cosine = std::abs(f.constant) / reach;
  const double sine = std::sqrt(std::max(0.0, -miss * (std::abs(f.constant) + reach))) / reach;
  for (double side : {sine, -sine}) {
    const Vec2 p = f.centre + f.radius * (cosine * toward + side * left_of(toward));
    points.add(f.radius > 1e4 ? polished(p, one, two) : p);
  }
  return points;
}

Contacts contacts(const ArcSegment& one, const ArcSegment& two, double touch) {
  Contacts found;
  const CarrierPoints crossings = carrier_points(one, two, touch);
  for (std::size_t i = 0; i < crossings.count; ++i) {
    const Vec2 p = crossings.at[i];
    if (on_segment(one, p, touch) && on_segment(two, p, touch)) add(found, one, two, p, touch);
  }
  for (Vec2 p : {two.a, two.b}) {
    if (one.distance_to(p) <= touch) add(found, one, two, p, touch);
  }
  for (Vec2 p : {one.a, one.b}) {
    if (two.distance_to(p) <= touch) add(found, one, two, p, touch);
  }
  return found;
}

Contacts neighbour_contacts(const ArcSegment& one, const ArcSegment& two, double touch) {
  Contacts found;
  const Vec2 common = one.b;
  const auto consider = [&](Vec2 p) {
    if (distance(p, common) > touch) add(found, one, two, p, touch);
  };
  if (!one.straight() || !two.straight()) {
    // One common point of the carriers is known; the other mirrors it in the line of centres. Nothing is lost
    // to a square root where the two are smooth.
    const auto [circle, other] = by_curvature(one, two);
    const OnCircle f = restrict_to_circle(*circle, *other);
    const double reach = norm(f.across);
    if (reach > 1e-12 * f.radius) {
      const Vec2 axis = f.across / reach;
      const Vec2 e = common - f.centre;
      const Vec2 p = f.centre + 2.0 * dot(axis, e) * axis - e;
      if (on_segment(one, p, 0.0) && on_segment(two, p, 0.0)) consider(p);
    }
  }
  if (one.distance_to(two.b) <= touch) consider(two.b);
  if (two.distance_to(one.a) <= touch) consider(one.a);
  return found;
}

Box2 loose_bounds(const ArcSegment& segment) {
  Box2 box;
  box.add(segment.a);
  box.add(segment.b);
  if (segment.straight()) return box;
  if (std::abs(segment.bulge) > 1.0) return segment.bounds();
  // Up to half a turn the arc stays in the rectangle of chord and height.
  const Vec2 height = -0.5 * segment.bulge * left_of(segment.b - segment.a);
  box.add(segment.a + height);
  box.add(segment.b + height);
  return box;
}

}  // namespace lastwright
