#include "geometry/offset/room.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "geometry/offset/corner.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

constexpr double kShare = 0.4;  // of an edge that one corner may use whatever the other asks for
constexpr double kBoth = 0.9;   // of an edge that both together may use
// Times what is asked for along the tangent of a curved edge; of one that turns by less than this on the way,
// less in proportion, down to once on a straight one.
constexpr double kOnCurve = 4.0;
constexpr double kTurns = 0.1;  // radians

// The corner at the far end of an edge that is walked towards it: unit directions along that edge to the
// corner and along the other one away from it, and the distances of the two.
struct FarCorner {
  Vec2 to;
  Vec2 away;
  double own = 0.0;
  double other = 0.0;
  OffsetCorner form = OffsetCorner::kMitre;
  bool back = false;  // walked against the order of the outline
};

// By how much such a corner cuts the edge back, were both edges straight and as long as need be. More than
// any edge is long where the two go to opposite sides, of which nothing is said here.
double asked(const FarCorner& c, double mitre_limit) {
  if (c.own * c.other < 0.0) return std::numeric_limits<double>::infinity();
  const double side = (std::min(c.own, c.other) < 0.0) == c.back ? 1.0 : -1.0;
  const double sine = side * cross(c.to, c.away);
  const double cosine = dot(c.to, c.away);
  const double own = std::abs(c.own);
  const double other = std::abs(c.other);
  if (std::abs(sine) <= tolerance::kRoot.value()) return 0.0;
  const double to_crossing = std::max(0.0, (own * cosine - other) / sine);
  if (sine < 0.0) return to_crossing;
  switch (c.form) {
    case OffsetCorner::kMitre:
      return std::min(to_crossing, mitre_limit * mitre_limit * sine * std::max(own, other));
    case OffsetCorner::kStep:
      return step_share(sine) * std::max(0.0, own * cosine / sine);
    default:
      return 0.0;
  }
}

double room_from(const std::vector<MovedEdge>& edges, std::size_t from, bool back,
                 const OffsetOptions& options) {
  const std::size_t n = edges.size();
  double length = 0.0;
  double turned = 0.0;
  FarCorner far;
  far.back = back;
  for (std::size_t e = from, seen = 0; seen < n; ++seen) {
    length += edges[e].source.length() * std::max(0.0, edges[e].bent());
    turned += std::abs(edges[e].source.sweep());
    const std::size_t next = back ? (e + n - 1) % n : (e + 1) % n;
    const MovedEdge& first = edges[back ? next : e];
    const MovedEdge& second = edges[back ? e : next];
    far.to = back ? -1.0 * edges[e].leaves : edges[e].arrives;
    far.away = back ? -1.0 * edges[next].arrives : edges[next].leaves;
    far.own = edges[e].outward;
    far.other = edges[next].outward;
    far.form = options.corners.empty() ? options.corner : options.corners[back ? e : next];
    const double turn = std::abs(angle_between(first.arrives, second.leaves));
    if (edges[next].outward != edges[e].outward || turn > tolerance::kCorner.value()) break;
    turned += turn;
    e = next;
  }
  const double times = 1.0 + (kOnCurve - 1.0) * std::min(1.0, turned / kTurns);
  const double other_end = times * asked(far, options.mitre_limit);
  return std::max(kShare * length, kBoth * length - other_end);
}

}  // namespace

CornerRoom room_at(const std::vector<MovedEdge>& edges, std::size_t i, std::size_t k,
                   const OffsetOptions& options) {
  return {room_from(edges, i, true, options), room_from(edges, k, false, options)};
}

}  // namespace lastwright
