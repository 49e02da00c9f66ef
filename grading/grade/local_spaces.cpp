#include "grading/grade/local_spaces.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "geometry/tolerance.hpp"
#include "grading/grade/held_stretches.hpp"

namespace lastwright {

namespace {

bool among(Vec2 p, const std::vector<Vec2>& points, double within) {
  return std::any_of(points.begin(), points.end(), [&](Vec2 q) { return distance(p, q) <= within; });
}

void merge_touching(std::vector<HeldPoints>& held) {
  const auto touch = [](const HeldPoints& a, const HeldPoints& b) {
    return std::any_of(a.points.begin(), a.points.end(),
                       [&](Vec2 p) { return among(p, b.points, tolerance::kChainGap.value()); });
  };
  for (std::size_t i = 0; i < held.size(); ++i) {
    for (std::size_t k = i + 1; k < held.size();) {
      if (!touch(held[i], held[k])) {
        ++k;
        continue;
      }
      held[i].points.insert(held[i].points.end(), held[k].points.begin(), held[k].points.end());
      held[i].conditions.insert(held[i].conditions.end(), held[k].conditions.begin(),
                                held[k].conditions.end());
      held.erase(held.begin() + static_cast<std::ptrdiff_t>(k));
      k = i + 1;  // what it now holds may touch an earlier one
    }
  }
}

// What a local field around some points keeps still.
class StillPlaces {
 public:
  StillPlaces(const std::vector<Vec2>& points, double reach) : points_(points), reach_(reach) {}

  void keep(const Condition& condition, bool square) {
    Condition together;
    bool tied = square;  // the two sides of a crossing, held or not
    for (std::size_t i = 0; i < condition.size(); ++i) {
      const ConditionTerm& term = condition[i];
      if (norm(term.weight) < kNoWeight) continue;
      const bool own = among(term.at, points_, tolerance::kSamePoint.value());
      if (own || (square && i < 2)) {
        together.push_back(term);
        tied = tied || own;
      } else {
        keep_alone({term.at, unit(term.weight)});
      }
    }
    if (tied && !together.empty() && near(together)) still_.push_back(std::move(together));
  }

  void keep_straight(const StraightLine& line) {
    constexpr double kSharesOfReach = 16.0;  // finer than the field bends
    const double whole = distance(line.a, line.b);
    const Vec2 n = left_of(unit(line.b - line.a));
    const auto parts = static_cast<int>(std::ceil(whole * kSharesOfReach / reach_));
    for (int k = 1; k < parts; ++k) {
      const double s = static_cast<double>(k) / parts;
      const Vec2 p = lerp(line.a, line.b, s);
      if (away(p) <= 2.0 * reach_) keep({{p, n}, {line.a, -(1.0 - s) * n}, {line.b, -s * n}}, false);
    }
  }

  [[nodiscard]] std::vector<Condition> taken() { return std::move(still_); }

 private:
  static constexpr double kNoWeight = 1e-12;
  static constexpr double kFarthest = 3.0;  // reaches: three steps of a field that fades with each

  [[nodiscard]] double away(Vec2 p) const {
    double nearest = std::numeric_limits<double>::infinity();
    for (const Vec2 q : points_) nearest = std::min(nearest, distance(p, q));
    return nearest;
  }
  [[nodiscard]] bool near(const Condition& condition) const {
    return std::any_of(condition.begin(), condition.end(),
                       [this](const ConditionTerm& term) { return away(term.at) <= kFarthest * reach_; });
  }
  void keep_alone(const ConditionTerm& term) {
    if (!near({term})) return;
    for (const ConditionTerm& known : alone_) {
      if (known.at == term.at && std::abs(cross(known.weight, term.weight)) < kNoWeight) return;
    }
    alone_.push_back(term);
    still_.push_back({term});
  }

  const std::vector<Vec2>& points_;
  double reach_;
  std::vector<ConditionTerm> alone_;
  std::vector<Condition> still_;
};

}  // namespace

std::vector<LocalSpace> local_spaces(const RuledForme& forme, std::vector<HeldPoints> held) {
  constexpr double kReach = 1.5;   // sizes of the set
  constexpr double kWidest = 1.5;  // length scales of the forme
  merge_touching(held);
  std::vector<bool> holds(forme.conditions.size(), false);
  for (const HeldPoints& set : held) {
    for (const std::size_t j : set.conditions) holds[j] = true;
  }
  std::vector<LocalSpace> spaces;
  for (HeldPoints& set : held) {
    const double size = farthest_apart(set.points);
    if (!(size > tolerance::kSamePoint.value())) continue;
    const double reach = std::min(kReach * size, kWidest * forme.frame.length_scale.value());
    StillPlaces still(set.points, reach);
    for (std::size_t j = 0; j < forme.conditions.size(); ++j) {
      if (!holds[j]) still.keep(forme.conditions[j], forme.square[j]);
    }
    for (const StraightLine& line : forme.straight) still.keep_straight(line);
    spaces.push_back({Millimetres(reach), std::move(set.conditions), still.taken()});
  }
  return spaces;
}

}  // namespace lastwright
