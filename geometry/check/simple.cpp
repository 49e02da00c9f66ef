#include "geometry/check/simple.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geometry/check/monotone_runs.hpp"
#include "geometry/curve/intersect.hpp"

namespace lastwright {

namespace {

// Neighbours that leave each other at less than this fold back
// on themselves: a metre of such a spike is a micron wide.
constexpr Radians kSpike{1e-6};

Problem bad(std::string message, Vec2 at) {
  message += fmt::format(" at ({:.4f}, {:.4f})", at.x, at.y);
  return {Trouble::kGeometry, std::move(message), {}, {}, {}};
}

// The second of two neighbours leaves straight back along the first, or so nearly that the spike between them
// is nowhere as wide as the chords on which outlines are judged may be off.
bool folds_back(const ArcSegment& one, const ArcSegment& two) {
  const Vec2 in = one.b - one.a;
  const Vec2 out = two.b - two.a;
  // Twice the bulge's angle is the half sweep between chord
  // and tangent: enough to rule most corners out cheaply.
  if (one.straight() && two.straight() && dot(in, out) >= 0.0) return false;
  const double turn = norm(one.tangent_at(1.0) + two.tangent_at(0.0));
  if (turn < kSpike.value()) return true;
  const double shorter = std::min(one.chord(), two.chord());
  if (turn * shorter >= 2.0 * tolerance::kOutlineChord.value() ||
      shorter < tolerance::kShortestSegment.value())
    return false;
  const double wide = one.chord() < two.chord() ? two.distance_to(one.a) : one.distance_to(two.b);
  return dot(in, out) < 0.0 && wide < tolerance::kOutlineChord.value();
}

std::optional<Vec2> neighbours_touch(const ArcSegment& one, const ArcSegment& two, double touch) {
  if (leads_onward(one, two)) return std::nullopt;
  if (folds_back(one, two)) return one.b;
  const Contacts found = neighbour_contacts(one, two, touch);
  if (found.count > 0) return found.all[0].at;
  return std::nullopt;
}

// An outline of two segments: both ends are shared.
std::optional<Vec2> pair_touches(const ArcSegment& one, const ArcSegment& two, double touch) {
  if (folds_back(one, two)) return one.b;
  if (folds_back(two, one)) return two.b;
  const Vec2 middle = one.point_at(0.5);
  if (two.distance_to(middle) <= touch) return middle;
  return std::nullopt;
}

}  // namespace

std::optional<SelfContact> self_contact(const ClosedArcPath& path, Millimetres touch) {
  const std::size_t n = path.size();
  std::optional<SelfContact> first;
  const auto found = [&](std::size_t one, std::size_t two, Vec2 at) {
    if (!first || one < first->one || (one == first->one && two < first->two))
      first = SelfContact{one, two, at};
  };
  const auto judge = [&](std::size_t one, std::size_t two) {
    const ArcSegment a = path.segment(one);
    const ArcSegment b = path.segment(two);
    std::optional<Vec2> at;
    if (n == 2) {
      at = pair_touches(a, b, touch.value());
    } else if (two == one + 1) {
      at = neighbours_touch(a, b, touch.value());
    } else if (one == 0 && two == n - 1) {
      at = neighbours_touch(b, a, touch.value());
    } else if (const Contacts contact = contacts(a, b, touch.value()); contact.count > 0) {
      at = contact.all[0].at;
    }
    if (at) found(one, two, *at);
  };
  if (n == 2) {
    judge(0, 1);
  } else {
    MonotoneRuns(path, touch.value()).for_near(judge);
  }
  return first;
}

Status check_simple(const ClosedArcPath& path, const SimpleOptions& options) {
  for (const ArcVertex& v : path.vertices) {
    if (!is_finite(v.at) || !std::isfinite(v.bulge)) {
      return Problem{Trouble::kGeometry, "an outline with a number that is not finite", {}, {}, {}};
    }
  }
  if (path.size() < 2) {
    return Problem{Trouble::kGeometry,
                   fmt::format("an outline of {} segments encloses nothing", path.size()),
                   {},
                   {},
                   {}};
  }
  for (std::size_t i = 0; i < path.size(); ++i) {
    const ArcSegment s = path.segment(i);
    if (s.chord() >= options.shortest.value() && s.chord() > 0.0)
      continue;  // no arc is shorter than its chord
    const double l = s.length();
    if (s.chord() > 0.0 && l >= options.shortest.value()) continue;
    Problem problem = bad("a segment is too short", s.a);
    problem.value = l;
    problem.limit = options.shortest.value();
    return problem;
  }
  if (const std::optional<SelfContact> contact = self_contact(path, options.touch)) {
    return bad("the outline crosses or touches itself", contact->at);
  }
  if (options.counter_clockwise && signed_area(path) <= 0.0)
    return bad("the outline runs clockwise", path.vertices[0].at);
  return Done{};
}

}  // namespace lastwright
