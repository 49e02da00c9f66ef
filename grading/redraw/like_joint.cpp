#include "grading/redraw/like_joint.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "geometry/units.hpp"
#include "grading/redraw/corner_match.hpp"

namespace lastwright {

namespace {

constexpr double kBendLook = 4.0;     // mm to either side, for how the line bends at a joint
constexpr double kSeenJoint = 6.0;    // degrees that it bends more on one side than the other
constexpr double kOtherJoint = 0.25;  // mm: a place where the line runs as nearly so may be meant too
constexpr double kTurnShare = 0.2;    // of its turn that a joint's may change by
constexpr double kRounded = 0.015;    // mm that a joint may be off in drawings with two decimals

struct JointKind {
  std::size_t curve = 0;  // line, arc or spline, after it
  double length = 0.0;    // mm of that curve
  double turn = 0.0;      // degrees
  double unsure = 0.0;    // degrees that rounding may have turned it by
};

std::vector<JointKind> joint_kinds(const OutlineRuler& ruler) {
  const std::vector<Curve>& curves = ruler.curves();
  const std::size_t n = curves.size();
  std::vector<JointKind> kinds(n);
  for (std::size_t i = 0; i < n; ++i) {
    kinds[i].curve = curves[i].index();
    kinds[i].length = length(curves[i], Millimetres(1e-3));
  }
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t before = (i + n - 1) % n;
    kinds[i].turn =
        to_degrees(Radians(angle_between(tangent_at(curves[before], 1.0), tangent_at(curves[i], 0.0))));
    const double shortest = std::max(1e-3, std::min(kinds[i].length, kinds[before].length));
    kinds[i].unsure = 0.1 + to_degrees(Radians(kRounded / shortest));
  }
  return kinds;
}

bool of_one_kind(const JointKind& was, const JointKind& now) {
  const double unsure = kTurnShare * std::abs(was.turn) + was.unsure + now.unsure;
  return was.curve == now.curve && now.length > 0.5 * was.length && now.length < 2.0 * was.length &&
         std::abs(was.turn - now.turn) <= unsure;
}

}  // namespace

double bend_at(const OutlineRuler& ruler, double s) {
  const double look = std::min(kBendLook, ruler.length() / 20.0);
  const Vec2 here = ruler.at(s);
  const auto turned_by = [&](double way) {
    const Vec2 middle = ruler.at(s + 0.5 * way * look);
    return way * angle_between(way * (middle - here), way * (ruler.at(s + way * look) - middle));
  };
  return to_degrees(Radians(turned_by(1.0) - turned_by(-1.0)));
}

double unlike(const OutlineRuler& one, Vec2 place, const OutlineRuler& other, Vec2 there, double enough) {
  constexpr int kLooks = 8;  // to either side
  const double s = one.nearest(place).s;
  const double look = std::min(kBendLook, one.length() / 20.0);
  double most = 0.0;
  for (int i = -kLooks; i <= kLooks && most <= enough; ++i) {
    const Vec2 p = one.at(s + look * i / kLooks) + (there - place);
    most = std::max(most, other.nearest(p).distance);
  }
  return most;
}

std::optional<std::size_t> joint_shift(const OutlineRuler& was, const OutlineRuler& now, double reach) {
  const auto& old_joints = was.vertices();
  const auto& new_joints = now.vertices();
  const std::size_t n = old_joints.size();
  constexpr std::size_t kMost = 400;  // an outline of more is drawn in short lines
  if (new_joints.size() != n || n < 3 || n > kMost) return std::nullopt;
  const std::vector<JointKind> before = joint_kinds(was);
  const std::vector<JointKind> after = joint_kinds(now);
  std::optional<std::size_t> only;
  for (std::size_t shift = 0; shift < n; ++shift) {
    bool fits = true;
    for (std::size_t i = 0; fits && i < n; ++i) {
      const std::size_t k = (i + shift) % n;
      fits = distance(old_joints[i].at, new_joints[k].at) <= reach && of_one_kind(before[i], after[k]);
    }
    if (!fits) continue;
    if (only) return std::nullopt;
    only = shift;
  }
  return only;
}

std::optional<Vec2> place_by_shift(const OutlineRuler& was, const OutlineRuler& now, std::size_t shift,
                                   Vec2 place) {
  const std::size_t n = was.vertices().size();
  const auto moved_to = [&](std::size_t i) { return now.vertices()[(i + shift) % n].at; };
  for (std::size_t i = 0; i < n; ++i) {
    if (distance(was.vertices()[i].at, place) <= 1e-6) return moved_to(i);
  }
  const std::size_t on = was.nearest(place).curve;
  const Vec2 by = moved_to(on) - was.vertices()[on].at;
  const Vec2 end_by = moved_to(on + 1) - was.vertices()[(on + 1) % n].at;
  if (distance(by, end_by) > kSameDrawn) return std::nullopt;
  const OutlineRuler::Foot foot = now.nearest(place + 0.5 * (by + end_by));
  if (foot.distance > kSameDrawn || foot.curve != (on + shift) % n) return std::nullopt;
  return foot.at;
}

std::optional<Vec2> joint_alike(const OutlineRuler& was, const OutlineRuler& now, Vec2 place, double reach) {
  constexpr std::size_t kMostCurves = 2'000;
  if (was.curves().size() > kMostCurves || now.curves().size() > kMostCurves) return std::nullopt;
  if (std::abs(bend_at(was, was.nearest(place).s)) < kSeenJoint) return std::nullopt;
  // Of several that are alike, as between scallops, none is known again.
  for (const OutlineRuler::Vertex& one : was.vertices()) {
    const double off = distance(one.at, place);
    if (off > kOtherJoint && off <= 2.0 * reach &&
        unlike(was, place, was, one.at, kOtherJoint) <= kOtherJoint)
      return std::nullopt;
  }
  std::optional<Vec2> only;
  for (const OutlineRuler::Vertex& one : now.vertices()) {
    if (distance(one.at, place) > reach) continue;
    const double off = unlike(was, place, now, one.at, kOtherJoint);
    if (off > kOtherJoint) continue;
    const bool known = std::any_of(was.vertices().begin(), was.vertices().end(), [&](const auto& joint) {
      return distance(joint.at, one.at) <= kSameDrawn;
    });
    if (only || known || off > kSameDrawn || unlike(now, one.at, was, place, kSameDrawn) > kSameDrawn)
      return std::nullopt;
    only = one.at;
  }
  return only;
}

}  // namespace lastwright
