#include "geometry/map/rigid_fit.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/invariant.hpp"
#include "geometry/map/rigid_rows.hpp"

namespace lastwright {

namespace {

double greatest(const std::vector<ResidualRow>& rows) {
  double worst = 0.0;
  for (const ResidualRow& row : rows) worst = std::max(worst, std::abs(row.value));
  return worst;
}

// Takes the certificate's worst points into the samples, so
// that the next round sees them. Returns how many are new.
void take_in_worst(const RigidFit& fit, const Pose& pose, std::vector<SampledPair>& pairs) {
  for (std::size_t k = 0; k < pairs.size(); ++k) {
    SampledPair& pair = pairs[k];
    const std::vector<LabelDistance>& labels = fit.deviations[k].labels;
    for (std::size_t label = 0; label < labels.size(); ++label) {
      if (labels[label].value == 0.0) continue;
      // Which outline the point lies on is not recorded: as a sample of either it pulls the same way.
      const double tolerance = pair.pair.tolerances[label];
      pair.moving.push_back({pose.unplace(labels[label].from), tolerance, 0});
      const bool on_moving = pair.pair.moving->nearest(pair.moving.back().at).distance <= 1e-6;
      if (!on_moving) {
        pair.moving.pop_back();
        pair.still.push_back({labels[label].from, tolerance, 0});
      }
    }
  }
}

}  // namespace

Vec2 placed(Vec2 p, const Placement& placement) {
  return turned(p, placement.turn.value()) + placement.shift;
}

RigidFit judge_placement(std::span<const OutlinePair> outlines, std::span<const PointPair> points,
                         const Placement& placement, Millimetres precision, double reached) {
  RigidFit fit;
  fit.placement = placement;
  for (const OutlinePair& pair : outlines) {
    HausdorffOptions options;
    options.precision = precision;
    std::vector<double> floors;
    for (const double tolerance : pair.tolerances) floors.push_back(reached * tolerance);
    options.floors = floors;
    fit.deviations.push_back(
        hausdorff(pair.moving->placed(placement.turn, placement.shift), *pair.still, options));
    const HausdorffResult& deviation = fit.deviations.back();
    if (deviation.labels.empty()) continue;
    for (std::size_t label = 0; label < deviation.labels.size(); ++label) {
      invariant(label < pair.tolerances.size() && pair.tolerances[label] > 0.0,
                "every label has a tolerance");
      const double value = std::max(deviation.labels[label].value, floors[label]);
      if (value == 0.0 && deviation.labels[label].from == Vec2{}) continue;
      fit.ratio = std::max(fit.ratio, (value + deviation.precision) / pair.tolerances[label]);
    }
    if (std::isinf(deviation.value)) fit.ratio = deviation.value;
  }
  for (const PointPair& pair : points) {
    fit.ratio = std::max(fit.ratio, distance(placed(pair.moving, placement), pair.still) / pair.tolerance);
  }
  return fit;
}

namespace {

// The search of fit_rigidly: linearise, solve, move, and halve a motion that overshoots.
class Fitter {
 public:
  Fitter(std::span<const OutlinePair> outlines, std::span<const PointPair> points,
         const RigidFitOptions& options)
      : outlines_(outlines), points_(points), options_(options) {
    constexpr double kRounding = 1e-6;  // keeps the sum of a distance and the precision under its step
    Box2 moving;
    Box2 still;
    for (const OutlinePair& pair : outlines) {
      for (const double tolerance : pair.tolerances) greatest_ = std::max(greatest_, tolerance);
      for (const double tolerance : pair.tolerances)
        slack_ = std::max(slack_, (1.0 + kRounding) * options.precision.value() / tolerance);
      pairs_.push_back({pair, sampled(*pair.moving, pair.tolerances, options.sample_step.value()),
                        sampled(*pair.still, pair.tolerances, options.sample_step.value())});
      moving.add(pair.moving->box());
      still.add(pair.still->box());
    }
    if (moving.empty() || still.empty()) return;
    pose_.pivot = moving.centre();
    if (!options.closest) pose_.shift = still.centre() - moving.centre();
    arm_ = std::max(1.0, 0.5 * std::hypot(moving.width(), moving.height()));
  }

  RigidFit run() {
    if (options_.closest) return run_closest();
    constexpr int kPasses = 6;
    RigidFit best;
    best.ratio = std::numeric_limits<double>::infinity();
    int passes = kPasses;
    for (int pass = 0; pass < passes; ++pass) {
      settle();
      if (bound_ > options_.give_up_above && level_ > options_.give_up_above) {
        best.placement = pose_.placement();
        best.ratio = bound_;
        best.first_order_bound = bound_;
        best.given_up = true;
        return best;
      }
      const double step = step_above(level_);
      const double reached = std::max(level_, step - slack_);
      RigidFit fit = judge_placement(outlines_, points_, pose_.placement(), options_.precision, reached);
      // Between the samples lies nothing worse, or nothing that counts.
      const double seen = fine_ ? 1e-5 : 5e-4;
      const bool enough = fit.ratio <= (step > level_ ? step : level_ * (1.0 + seen) + slack_);
      take_in_worst(fit, pose_, pairs_);
      if (fit.ratio < best.ratio) best = std::move(fit);
      if (enough && (fine_ || !just_over_a_step(best.ratio))) break;
      if (enough) {
        fine_ = true;
        passes = pass + 1 + kPasses;
      }
      if (step > level_) ++passes;  // a pose that was good enough for the samples is not: the best is wanted
      exact_ = true;
    }
    best.first_order_bound = std::min(bound_, best.ratio);
    return best;
  }

 private:
  RigidFit run_closest() {
    constexpr int kPasses = 16;
    constexpr double kSeen = 2e-4;  // of a ratio: what may lie between the samples
    RigidFit best;
    best.ratio = std::numeric_limits<double>::infinity();
    for (int pass = 0; pass < kPasses; ++pass) {
      settle_closest();
      RigidFit fit = judge_placement(outlines_, points_, pose_.placement(), options_.precision);
      const double seen = level_ + kSeen + slack_;
      take_in_worst(fit, pose_, pairs_);
      const bool enough = fit.ratio <= seen;
      if (fit.ratio < best.ratio) best = std::move(fit);
      if (enough) break;
    }
    best.first_order_bound = std::min(bound_, best.ratio);
    return best;
  }

  // Ever shorter steps until none leads nearer, or until what is hoped for is less than this share.
  void settle_closest() {
    constexpr int kRounds = 120;
    constexpr double kShortest = 1e-5;  // mm
    level_ = level_at_pose();
    step_within({std::max(level_, 100.0 * kShortest), kShortest, kRounds, 0.0});
  }

  struct Reach {
    double first = 0.0;  // mm
    double shortest = 0.0;
    int rounds = 0;
    double gain = 0.0;  // of the level: less is not worth a round
  };
  // In steps no longer than a reach that grows where the linearised distances hold and shrinks where not.
  void step_within(const Reach& limits) {
    double reach = limits.first;
    const double enough = step_above(bound_);  // what is hoped for within the reach says nothing of more
    for (int round = 0; round < limits.rounds && reach > limits.shortest && level_ > 0.0; ++round) {
      // The springs keep the step within the reach, for they count as residuals of the level it starts from.
      const double spring = level_ / reach;
      const Minimax step = smallest_greatest(rows_, {spring, spring, spring});
      bound_ = step.level;
      const double hoped = level_ - step.level;
      if (hoped <= limits.gain * level_ || level_ <= enough) return;
      const Pose start = pose_;
      std::vector<ResidualRow> rows = rows_;
      pose_.shift = start.shift + Vec2{step.x[0], step.x[1]};
      pose_.turn = turn_to(start.turn + step.x[2] / arm_);
      const double level = level_at_pose();
      const double share = (level_ - level) / hoped;
      if (share > 0.1) {
        level_ = level;
      } else {
        pose_ = start;
        rows_ = std::move(rows);
      }
      reach *= share > 0.7 ? 2.0 : share > 0.1 ? 1.0 : 0.35;
    }
  }
  [[nodiscard]] double turn_to(double turn) const {
    const double largest = options_.largest_turn.value();
    return options_.closest ? turn : std::clamp(turn, -largest, largest);
  }

  // The first of the steps that this ratio does not exceed; the ratio itself where it is to be told exactly.
  [[nodiscard]] double step_above(double ratio) const {
    if (exact_ || options_.closest || options_.steps.empty() || ratio <= options_.steps.front()) return ratio;
    const auto step = std::lower_bound(options_.steps.begin(), options_.steps.end(), ratio);
    return step == options_.steps.end() ? ratio : *step;
  }
  // By less than the search is short of the best: whether the step is kept hangs on that.
  [[nodiscard]] bool just_over_a_step(double ratio) const {
    return std::any_of(options_.steps.begin(), options_.steps.end(),
                       [&](double step) { return ratio > step && ratio <= 1.002 * step; });
  }
  double level_at_pose() {
    rows_.clear();
    for (SampledPair& pair : pairs_) add_rows(pair, pose_, arm_, rows_);
    add_rows(points_, pose_, arm_, rows_);
    return greatest(rows_);
  }

  // Moves the pose until the samples' greatest residual falls no further.
  void settle() {
    constexpr double kSpring = 1e-6;  // per millimetre: only keeps a motion that nothing resists finite
    const double gain = fine_ ? 1e-6 : 2e-4;  // smaller ones are not worth a round
    constexpr double kShortest = 1e-5;        // mm
    constexpr int kShortRounds = 40;
    constexpr double kBeside = 0.02;  // of the greatest deviation
    level_ = level_at_pose();
    double way = 0.0;
    for (int round = 0; round < options_.rounds; ++round) {
      const Minimax step = smallest_greatest(rows_, {kSpring, kSpring, kSpring});
      bound_ = step.level;
      if (level_ - bound_ < gain * level_ || level_ <= step_above(bound_)) return;
      if (bound_ > (round > 0 ? 1.0 : 1.25) * options_.give_up_above) return;  // hopeless
      const std::array<double, 3> motion = shortest_within(rows_, step.level * 1.002, step.x);
      way = std::hypot(motion[0], motion[1], motion[2]);
      if (!move(motion)) break;
    }
    // Where outlines bend or end, what a whole motion gains is less than the linearised distances promise.
    step_within({std::max(0.25 * way, kBeside * level_ * greatest_), kShortest, kShortRounds, gain});
  }

  // Moves by the motion, or half or a quarter of it, whichever first lowers the level. False when none does.
  bool move(const std::array<double, 3>& motion) {
    const Pose start = pose_;
    const std::vector<ResidualRow> rows = rows_;
    for (const double share : {1.0, 0.5, 0.25}) {
      pose_.shift = start.shift + share * Vec2{motion[0], motion[1]};
      pose_.turn = turn_to(start.turn + share * motion[2] / arm_);
      const double level = level_at_pose();
      if (level < level_ * (1.0 - 1e-4)) {
        level_ = level;
        return true;
      }
    }
    pose_ = start;
    rows_ = rows;
    return false;
  }

  std::span<const OutlinePair> outlines_;
  std::span<const PointPair> points_;
  const RigidFitOptions& options_;
  std::vector<SampledPair> pairs_;
  std::vector<ResidualRow> rows_;
  Pose pose_;
  double arm_ = 1.0;       // a turn is counted as the way a point at this distance from the pivot goes
  double level_ = 0.0;     // greatest residual of the samples at the pose
  double bound_ = 0.0;     // what the rows at the pose allow at best, to first order
  bool exact_ = false;     // steps are no longer looked at
  bool fine_ = false;      // the last thousandth is looked for
  double greatest_ = 0.0;  // of the tolerances, mm
  double slack_ = 0.0;     // what the certificate's precision adds to a ratio
};

}  // namespace

RigidFit fit_rigidly(std::span<const OutlinePair> outlines, std::span<const PointPair> points,
                     const RigidFitOptions& options) {
  return Fitter(outlines, points, options).run();
}

Placement placement_by_edge(Vec2 moving_from, Vec2 moving_to, Vec2 still_from, Vec2 still_to) {
  const Radians turn(angle_between(moving_to - moving_from, still_to - still_from));
  const Vec2 middle = turned(lerp(moving_from, moving_to, 0.5), turn.value());
  return {turn, lerp(still_from, still_to, 0.5) - middle};
}

namespace {

std::vector<Vec2> hull_round(std::vector<Vec2> points) {
  std::sort(points.begin(), points.end(), [](Vec2 a, Vec2 b) { return a.x != b.x ? a.x < b.x : a.y < b.y; });
  std::vector<Vec2> hull;
  const auto add = [&](Vec2 p, std::size_t floor) {
    while (hull.size() > floor + 1 && cross(hull.back() - hull[hull.size() - 2], p - hull.back()) <= 0.0)
      hull.pop_back();
    hull.push_back(p);
  };
  for (const Vec2 p : points) add(p, 0);
  const std::size_t lower = hull.size() - 1;
  for (std::size_t i = points.size() - 1; i-- > 0;) add(points[i], lower);
  hull.pop_back();
  return hull;
}

}  // namespace

RigidInvariants rigid_invariants(const ClosedArcPath& path) {
  constexpr double kChordError = 5e-3;  // mm: invariants only sort the tries, the fit is by arcs
  RigidInvariants invariants;
  std::vector<Vec2> points = flattened(path, Millimetres(kChordError));
  if (points.size() < 3) return invariants;
  const std::vector<Vec2> hull = hull_round(std::move(points));
  const std::size_t n = hull.size();
  if (n < 3) return invariants;
  double square = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    invariants.hull_perimeter += distance(hull[i], hull[(i + 1) % n]);
    for (std::size_t j = 0; j < i; ++j) square = std::max(square, dot(hull[i] - hull[j], hull[i] - hull[j]));
  }
  invariants.diameter = std::sqrt(square);
  // The true hull lies within the chord error of the flattened
  // one: 2 pi and 2 times that in perimeter and diameter.
  invariants.error = 7.0 * kChordError;
  return invariants;
}

double least_deviation(const RigidInvariants& one, const RigidInvariants& other) {
  const double slack = std::max(one.error, other.error);  // both are short, never long: the errors do not add
  const double by_perimeter =
      (std::abs(one.hull_perimeter - other.hull_perimeter) - slack) / (2.0 * std::numbers::pi);
  const double by_diameter = (std::abs(one.diameter - other.diameter) - slack) / 2.0;
  return std::max({0.0, by_perimeter, by_diameter});
}

}  // namespace lastwright
