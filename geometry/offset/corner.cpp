#include "geometry/offset/corner.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

struct Turn {
  double sine;
  double cosine;
};

// A corner seen along its wider edge and turned so that both distances are 0 or above: x runs on along the
// wider edge from the vertex, y goes outward from it. The narrower edge's line, moved, is
// x sine + y cosine = narrow, and its moved end lies where it has run on by 0.
struct Uneven {
  double wide;
  double narrow;
  Turn turn;  // sine above 0: the edges move apart; below: a hollow corner
  // Along a line that hardly turns away no edge runs on, or is cut back, farther than this.
  double widest_run;
  // Neither edge is cut back by more than its room.
  double room_of_wide;
  double room_of_narrow;

  // Where the lines of both cross the wider edge has run on by this; the narrower one by the other. At a turn
  // near 0 either goes beyond all bounds.
  [[nodiscard]] double tip_of_wide() const { return wide * half_tangent() - lead(); }
  [[nodiscard]] double tip_of_narrow() const { return narrow * half_tangent() + lead(); }
  // Whether the wider edge must be cut back, or in a hollow corner run on, to reach the crossing.
  [[nodiscard]] bool overshoots() const { return narrow < wide * turn.cosine; }

 private:
  [[nodiscard]] double half_tangent() const {
    return turn.cosine > 0.0 ? turn.sine / (1.0 + turn.cosine) : (1.0 - turn.cosine) / turn.sine;
  }
  [[nodiscard]] double lead() const { return wide > narrow ? (wide - narrow) / turn.sine : 0.0; }
};

struct Runs {
  double wide = 0.0;
  double narrow = 0.0;
};

// The wider edge has run on by x and the outline steps down, square to it, to the narrower edge's line.
// Precondition: the turn is below a right angle.
Runs stepped(const Uneven& c, double x) {
  const double y = (c.narrow - x * c.turn.sine) / c.turn.cosine;
  return {x, y * c.turn.sine - x * c.turn.cosine};
}

// Runs to the tip, or to a cut square to the bisector at
// this distance from the vertex where the tip is farther.
Runs pointed(const Uneven& c, double reach) {
  const double half_cosine = std::sqrt(std::max(0.0, 0.5 * (1.0 + c.turn.cosine)));
  const double half_sine = std::sqrt(0.5 * (1.0 - c.turn.cosine));
  const auto cut = [&](double distance) { return (reach - distance * half_cosine) / half_sine; };
  if (c.turn.sine > 0.0 && c.tip_of_wide() * half_sine + c.wide * half_cosine <= reach)
    return {c.tip_of_wide(), c.tip_of_narrow()};
  return {cut(c.wide), cut(c.narrow)};
}

// The step at the end of the wider edge, held to its end. One too low to cut becomes a slope down to where
// the narrower edge itself begins, which leaves both edges what they ask; up to twice as low it slopes in
// part.
Runs stepped_at_end(const Uneven& c) {
  constexpr double kLowest = tolerance::kShortestSegment.value();
  Runs runs = stepped(c, 0.0);
  const double height = c.wide - c.narrow / c.turn.cosine;
  runs.narrow *= std::clamp(height / kLowest - 1.0, 0.0, 1.0);
  if (runs.narrow < kLowest && height < 2.0 * kLowest) runs.narrow = 0.0;
  return runs;
}

// The wedge between the normals at the ends of both edges,
// filled as far as both moved lines, run on, leave it.
Runs full(const Uneven& c, double reach) {
  return c.overshoots() ? stepped_at_end(c) : pointed(c, reach);
}

Runs mitred(const Uneven& c, double reach) {
  if (!c.overshoots()) return pointed(c, reach);
  const double most = std::min(c.widest_run, c.room_of_wide);
  if (c.wide * c.turn.cosine - c.narrow <= most * c.turn.sine) return {c.tip_of_wide(), c.tip_of_narrow()};
  return stepped(c, -most);
}

// Sets what the two runs are in the order of the corner.
void run(Join& join, const Runs& runs, bool wide_first) {
  join.run_in = wide_first ? runs.wide : runs.narrow;
  join.run_out = wide_first ? runs.narrow : runs.wide;
}

class Corner {
 public:
  Corner(const CornerGeometry& c, const Turn& turn, double mitre_limit)
      : at_(c), sign_(std::min(c.d_in, c.d_out) < 0.0 ? -1.0 : 1.0), limit_(mitre_limit) {
    const double in = std::abs(c.d_in);
    const double out = std::abs(c.d_out);
    wide_first_ = in >= out;
    const double sine = sign_ * turn.sine;
    uneven_ = {std::max(in, out),
               std::min(in, out),
               {sine, turn.cosine},
               0.0,
               wide_first_ ? c.room_in : c.room_out,
               wide_first_ ? c.room_out : c.room_in};
    uneven_.widest_run = mitre_limit * mitre_limit * std::abs(sine) * uneven_.wide;
  }

  [[nodiscard]] Join join(OffsetCorner form, double share) const {
    if (uneven_.turn.sine < 0.0) return hollow(form);
    Join join;
    join.kind = JoinKind::kApart;
    switch (form) {
      case OffsetCorner::kMitre:
        run(join, mitred(uneven_, limit_ * uneven_.wide), wide_first_);
        break;
      case OffsetCorner::kFull:
        run(join, full(uneven_, limit_ * uneven_.wide), wide_first_);
        break;
      case OffsetCorner::kSquare:
        run(join, full(uneven_, uneven_.wide), wide_first_);
        break;
      case OffsetCorner::kRound:
        round(join);
        break;
      case OffsetCorner::kStep:
        step(join, share * step_share(uneven_.turn.sine));
        break;
    }
    return join;
  }

 private:
  [[nodiscard]] Join hollow(OffsetCorner form) const {
    Join join;
    join.kind = JoinKind::kInto;
    join.steps = form == OffsetCorner::kStep;
    if (!uneven_.overshoots()) return join;
    if (uneven_.widest_run <= tolerance::kRoot.value()) {
      join.kind = JoinKind::kApart;  // a jog along the common normal
      return join;
    }
    join.kind = JoinKind::kHollow;
    // Where the narrower edge bends away the crossing may be farther than on straight lines, but not at will.
    const double twice = -2.0 * uneven_.wide * uneven_.turn.cosine / uneven_.turn.sine;
    join.widest = std::min({uneven_.widest_run, limit_ * uneven_.wide, twice});
    return join;
  }

  // About the vertex, from the end of the wider edge to the narrower one's line or, of equal ones, its end.
  void round(Join& join) const {
    if (uneven_.overshoots()) return run(join, stepped_at_end(uneven_), wide_first_);
    const double back = std::sqrt((uneven_.wide - uneven_.narrow) * (uneven_.wide + uneven_.narrow));
    const double sweep =
        std::atan2(uneven_.turn.sine, uneven_.turn.cosine) - std::atan2(back, uneven_.narrow);
    join.bulge = sign_ * std::tan(0.25 * std::max(0.0, sweep));
    run(join, {0.0, back}, wide_first_);
  }

  // Each edge ends on the other one's own line, run on through the vertex; with less than the whole share on
  // the way there from the corner in full.
  void step(Join& join, double share) const {
    const Runs from = full(uneven_, limit_ * uneven_.wide);
    run(join, from, wide_first_);
    if (share <= 0.0) return;
    const auto roomy = [](double share_of, double none, double whole, double room) {
      return none + share_of * (whole - none) >= -room ? share_of : (none + room) / (none - whole);
    };
    const double cotangent = uneven_.turn.cosine / uneven_.turn.sine;
    share = roomy(share, from.wide, -uneven_.wide * cotangent, uneven_.room_of_wide);
    share = roomy(share, from.narrow, -uneven_.narrow * cotangent, uneven_.room_of_narrow);
    const Vec2 a = at_.end() + join.run_in * at_.in;
    const Vec2 b = at_.start() - join.run_out * at_.out;
    const auto part = [&](double none, double whole) { return none + share * (whole - none); };
    run(join, {part(from.wide, -uneven_.wide * cotangent), part(from.narrow, -uneven_.narrow * cotangent)},
        wide_first_);
    // An edge that does not move ends at the vertex anyhow.
    if (uneven_.narrow == 0.0 && share == 1.0) return;
    const double length = square_of(b - a);
    const double t = length > 0.0 ? std::clamp(dot(at_.vertex - a, b - a) / length, 0.0, 1.0) : 0.0;
    join.via[join.via_count++] = {lerp(a + t * (b - a), at_.vertex, share), 0.0};
  }

  CornerGeometry at_;
  Uneven uneven_{};
  double sign_;
  double limit_;
  bool wide_first_ = true;
};

// Edges that go to opposite sides of the outline run on, or are cut back, to where they meet.
Join across(const CornerGeometry& c, const Turn& turn, double limit) {
  Join join;
  join.kind = JoinKind::kApart;
  const double in = (c.d_out - c.d_in * turn.cosine) / turn.sine;
  const double out = (c.d_in - c.d_out * turn.cosine) / turn.sine;
  if (!(std::hypot(c.d_in, in) <= limit)) return join;
  join.run_in = in;
  join.run_out = out;
  return join;
}

}  // namespace

double step_share(double sine) {
  // Sines: the lines of edges that hardly turn, or turn back, meet the other edge's cut line too far away.
  constexpr double kNone = 0.25;
  constexpr double kWhole = 0.5;  // and from here on near enough
  return std::clamp((sine - kNone) / (kWhole - kNone), 0.0, 1.0);
}

Join join_at(const CornerGeometry& c, OffsetCorner form, double mitre_limit, double share) {
  const Turn turn{cross(c.in, c.out), dot(c.in, c.out)};
  const double reach = std::max(std::abs(c.d_in), std::abs(c.d_out));
  // Exact on purpose: distances are as stated, and no distance is no corner.
  if (reach == 0.0) return Join{};
  const bool level = c.d_in == c.d_out;
  if (level && turn.cosine > 0.0 && std::abs(turn.sine) * reach < tolerance::kRoot.value()) return Join{};
  if (std::min(c.d_in, c.d_out) < 0.0 && std::max(c.d_in, c.d_out) > 0.0)
    return across(c, turn, mitre_limit * reach);
  return Corner(c, turn, mitre_limit).join(form, share);
}

}  // namespace lastwright
