#include "geometry/curve/intersect.hpp"

#include <algorithm>

namespace lastwright {

namespace {

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

// The same without the centre, which is too far away to reckon with for arcs
// that are almost straight. With w = p - a for the more strongly curved carrier,
// f_other - (k_other / k) f = c - m . w is the line through the common points.
CarrierPoints flat_points(const ArcSegment& curved, const ArcSegment& other, double touch) {
  const double k = curved.curvature();
  const double share = other.curvature() / k;
  const Vec2 n = left_of(curved.start_tangent());
  const Vec2 other_n = left_of(other.start_tangent());
  const Vec2 e = other.a - curved.a;
  const Vec2 m = other_n + other.curvature() * e - share * n;
  const double c = 0.5 * other.curvature() * dot(e, e) + dot(other_n, e);
  CarrierPoints points;
  const double size = norm(m);
  if (size <= 1e-14) return points;  // about one centre
  const Vec2 across = m / size;
  const Vec2 along = left_of(across);
  const double slope = dot(n, along);
  const double side = dot(n, across) >= 0.0 ? 1.0 : -1.0;
  const double off = c / size;  // of the line from a
  // How far the carrier bulges across the tangent that is parallel to the line, seen from a.
  const double bow = slope * slope / (k * (1.0 + std::abs(dot(n, across)))) * -side;
  const double miss = (off - bow) * side * (k > 0.0 ? -1.0 : 1.0);
  if (miss * size > touch || miss < -2.0 / std::abs(k)) return points;
  if (miss > 0.0) {
    points.add(curved.a + (slope / k) * along + bow * across);
    return points;
  }
  // k/2 s^2 - slope s + constant = 0, s along the line from its point nearest to a.
  const double constant = 0.5 * k * off * off - off * dot(n, across);
  const double root = std::sqrt(std::max(0.0, slope * slope - 2.0 * k * constant));
  const double larger = slope + (slope >= 0.0 ? root : -root);
  for (double s : {larger / k, larger != 0.0 ? 2.0 * constant / larger : 0.0})
    points.add(curved.a + off * across + s * along);
  return points;
}

// p lies on the carrier: whether it also lies on the segment, or within `touch` of its ends.
bool on_segment(const ArcSegment& s, Vec2 p, double touch) {
  if (distance(p, s.a) <= touch || distance(p, s.b) <= touch) return true;
  const Vec2 along = s.b - s.a;
  const double side = cross(along, p - s.a);
  // Of an arc that is almost straight the side of its chord
  // says too little; the far side of its circle is far away.
  if (std::abs(s.bulge) < 1e-4) {
    const double square = dot(along, along);
    const double reach = dot(p - s.a, along);
    return reach >= 0.0 && reach <= square && std::abs(side) <= square;
  }
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
  if (circle->radius() > 1e4) return flat_points(*circle, *other, touch);
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
    points.add(f.centre + f.radius * (cosine * toward + side * left_of(toward)));
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
    // One common point of the carriers is known; the other lies on the line through both (see flat_points).
    // Nothing is lost to a square root where the two are smooth.
    const double k_one = one.curvature();
    const double k_two = two.curvature();
    const Vec2 n_one = left_of(one.end_tangent());
    const Vec2 n_two = left_of(two.start_tangent());
    const bool first = std::abs(k_one) >= std::abs(k_two);
    const Vec2 m = first ? n_two - k_two / k_one * n_one : n_one - k_one / k_two * n_two;
    const double size = norm(m);
    if (size > 1e-12) {
      const Vec2 along = left_of(m) / size;
      const Vec2 p = common + 2.0 * (first ? dot(n_one, along) / k_one : dot(n_two, along) / k_two) * along;
      if (on_segment(one, p, 0.0) && on_segment(two, p, 0.0)) consider(p);
    }
  }
  if (one.distance_to(two.b) <= touch) consider(two.b);
  if (two.distance_to(one.a) <= touch) consider(one.a);
  return found;
}

bool leads_onward(const ArcSegment& one, const ArcSegment& two) {
  // Just below the bulge of a quarter turn, whose ends are an eighth off the chord.
  return std::abs(one.bulge) < kUnderQuarterTurn && std::abs(two.bulge) < kUnderQuarterTurn &&
         dot(one.b - one.a, two.b - two.a) >= 0.0;
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
