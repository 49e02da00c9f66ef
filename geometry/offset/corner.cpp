#include "geometry/offset/corner.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

// With a turn T at the vertex and the moved edges at d_in and d_out, their tangent lines cross where the edge
// before has run on by d_in tan(T/2) + (d_out - d_in) / sin T, and the edge after by the same with the
// distances exchanged.
struct Turn {
  double sine;
  double cosine;
  double half_tangent;  // tan(T/2)
};

struct Runs {
  double in;
  double out;
};

Runs mitre(const CornerGeometry& c, const Turn& turn) {
  const double unequal = c.d_in == c.d_out ? 0.0 : (c.d_out - c.d_in) / turn.sine;
  return {c.d_in * turn.half_tangent + unequal, c.d_out * turn.half_tangent - unequal};
}

// Both runs end on a line square to the bisector, `reach` away from the vertex.
Runs square(const CornerGeometry& c, const Turn& turn, double reach) {
  const double half_cosine = std::sqrt(0.5 * (1.0 + turn.cosine));
  const double half_sine = std::sqrt(0.5 * (1.0 - turn.cosine));
  return {(reach - std::abs(c.d_in) * half_cosine) / half_sine,
          (reach - std::abs(c.d_out) * half_cosine) / half_sine};
}

// Both end on the line of the other edge, run on through the vertex.
Runs step(const CornerGeometry& c, const Turn& turn) {
  return {-c.d_in * turn.cosine / turn.sine, -c.d_out * turn.cosine / turn.sine};
}

}  // namespace

Join join_at(const CornerGeometry& c, OffsetCorner form, double mitre_limit) {
  Join join;
  const Turn turn{cross(c.in, c.out), dot(c.in, c.out), 0.0};
  const double reach = std::max(std::abs(c.d_in), std::abs(c.d_out));
  const bool level = c.d_in == c.d_out;
  if (reach == 0.0 || (level && turn.cosine > 0.0 && std::abs(turn.sine) * reach < tolerance::kRoot.value()))
    return join;

  const bool left = turn.sine > 0.0;
  const bool apart = left ? c.d_in >= 0.0 && c.d_out >= 0.0 : c.d_in <= 0.0 && c.d_out <= 0.0;
  const bool against = std::min(c.d_in, c.d_out) < 0.0 && std::max(c.d_in, c.d_out) > 0.0;
  const bool jog = !level && std::abs(turn.sine) < 1e-9 && turn.cosine > 0.0;
  if (!apart && !against && !jog) {
    join.kind = JoinKind::kInto;
    return join;
  }
  join.kind = JoinKind::kApart;
  if (jog) return join;

  Turn t = turn;
  t.half_tangent = turn.cosine > 0.0 ? turn.sine / (1.0 + turn.cosine) : (1.0 - turn.cosine) / turn.sine;
  const Runs tip = mitre(c, t);
  const double limit = mitre_limit * reach;
  const bool tip_near = std::hypot(c.d_in, tip.in) <= limit * (1.0 + 1e-12);
  const auto run = [&](Runs runs) {
    join.run_in = runs.in;
    join.run_out = runs.out;
    return join;
  };
  if (against) return tip_near ? run(tip) : join;

  switch (form) {
    case OffsetCorner::kRound: {
      // About the vertex; where the distances differ a radial jog leads up to the larger one.
      const double sign = left ? 1.0 : -1.0;
      const ArcSegment arc{c.vertex - sign * reach * left_of(c.in), c.vertex - sign * reach * left_of(c.out),
                           std::tan(0.25 * std::atan2(turn.sine, turn.cosine))};
      if (std::abs(c.d_in) < reach) {
        join.via[join.via_count++] = {arc.a, arc.bulge};
      } else {
        join.bulge = arc.bulge;
      }
      if (std::abs(c.d_out) < reach) join.via[join.via_count++] = {arc.b, 0.0};
      return join;
    }
    case OffsetCorner::kStep: {
      const Runs runs = step(c, t);
      if (std::abs(t.sine) < 0.25 || std::max(std::abs(runs.in), std::abs(runs.out)) > limit) return join;
      if (c.d_in != 0.0 && c.d_out != 0.0) join.via[join.via_count++] = {c.vertex, 0.0};
      return run(runs);
    }
    case OffsetCorner::kMitre:
      if (tip_near) return run(tip);
      [[fallthrough]];
    case OffsetCorner::kSquare: {
      const Runs runs = square(c, t, reach);
      const bool beyond_tip = runs.in >= tip.in || runs.out >= tip.out;
      if (!beyond_tip && std::max(runs.in, runs.out) <= limit) return run(runs);
      return tip_near ? run(tip) : join;
    }
  }
  return join;
}

}  // namespace lastwright
