#include "grading/pieces/curve_meets.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kSteps = 32;                   // of a curve, of each span of a spline
constexpr std::size_t kMostChordPairs = 20'000'000;  // of sampled pieces: a second

// A piece of a curve, straight enough to start from.
struct Chord {
  const Curve* curve = nullptr;
  double t0 = 0.0;
  double t1 = 1.0;
  Vec2 a;
  Vec2 b;
};

std::vector<Chord> chords_of(const std::vector<Curve>& run) {
  std::vector<Chord> out;
  for (const Curve& curve : run) {
    std::vector<double> ends = breaks_of(curve);
    ends.insert(ends.begin(), 0.0);
    ends.push_back(1.0);
    const std::size_t steps = std::holds_alternative<Line>(curve) ? 1 : kSteps;
    for (std::size_t span = 0; span + 1 < ends.size(); ++span) {
      for (std::size_t i = 0; i < steps; ++i) {
        const auto at = [&](std::size_t k) {
          return std::lerp(ends[span], ends[span + 1], static_cast<double>(k) / static_cast<double>(steps));
        };
        out.push_back({&curve, at(i), at(i + 1), point_at(curve, at(i)), point_at(curve, at(i + 1))});
      }
    }
  }
  return out;
}

// By Newton's method from where the two chords come nearest; none where it leads off either curve.
std::optional<Vec2> refined(const Chord& one, const Chord& other) {
  const Vec2 d1 = one.b - one.a;
  const Vec2 d2 = other.b - other.a;
  const double turn = cross(d1, d2);
  if (turn == 0.0) return std::nullopt;
  const Vec2 between = other.a - one.a;
  // A curve leaves its chord: one that only just misses is tried too.
  constexpr double kBeyond = 0.25;
  const double s = cross(between, d2) / turn;
  const double u = cross(between, d1) / turn;
  if (s < -kBeyond || s > 1.0 + kBeyond || u < -kBeyond || u > 1.0 + kBeyond) return std::nullopt;
  double t1 = std::clamp(std::lerp(one.t0, one.t1, s), 0.0, 1.0);
  double t2 = std::clamp(std::lerp(other.t0, other.t1, u), 0.0, 1.0);
  for (int round = 0; round < 40; ++round) {
    const Vec2 off = point_at(*other.curve, t2) - point_at(*one.curve, t1);
    const Vec2 v1 = derivative_at(*one.curve, t1);
    const Vec2 v2 = derivative_at(*other.curve, t2);
    const double det = cross(v1, v2);
    if (det == 0.0) break;
    t1 = std::clamp(t1 + cross(off, v2) / det, 0.0, 1.0);
    t2 = std::clamp(t2 + cross(off, v1) / det, 0.0, 1.0);
  }
  const Vec2 at = point_at(*one.curve, t1);
  if (distance(at, point_at(*other.curve, t2)) > tolerance::kSamePoint.value()) return std::nullopt;
  return at;
}

}  // namespace

Result<std::vector<Vec2>> curve_meets(const std::vector<Curve>& one, const std::vector<Curve>& other) {
  const std::vector<Chord> first = chords_of(one);
  const std::vector<Chord> second = chords_of(other);
  if (first.size() * second.size() > kMostChordPairs) {
    Problem problem{
        Trouble::kBudget, "the two lines have too many curves to look for where they cross", {}, {}, {}};
    problem.value = static_cast<double>(first.size()) * static_cast<double>(second.size());
    problem.limit = static_cast<double>(kMostChordPairs);
    return problem;
  }
  std::vector<Vec2> found;
  for (const Chord& a : first) {
    for (const Chord& b : second) {
      const std::optional<Vec2> at = refined(a, b);
      if (!at) continue;
      const bool known = std::any_of(found.begin(), found.end(), [&](Vec2 p) {
        return distance(p, *at) <= tolerance::kOutlineChord.value();
      });
      if (!known) found.push_back(*at);
    }
  }
  return found;
}

}  // namespace lastwright
