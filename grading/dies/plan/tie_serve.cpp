#include "grading/dies/plan/tie_serve.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/invariant.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

double greatest_value(const RigidFit& fit, const std::vector<PointPair>& points) {
  double worst = 0.0;
  for (const HausdorffResult& result : fit.deviations) worst = std::max(worst, result.value);
  for (const PointPair& pair : points)
    worst = std::max(worst, distance(placed(pair.moving, fit.placement), pair.still));
  return worst;
}

std::vector<PointPair> point_pairs(const DieShape& demand, const DieShape& die, double tolerance) {
  std::vector<PointPair> pairs;
  for (std::size_t i = 0; i < demand.holes.size(); ++i) {
    pairs.push_back({demand.holes[i].centre, die.holes[i].centre, tolerance});
  }
  for (std::size_t i = 0; i < demand.marks.size(); ++i) {
    const auto& one = demand.marks[i].path.vertices;
    const auto& other = die.marks[i].path.vertices;
    if (one.empty()) continue;
    pairs.push_back({one.front().at, other.front().at, tolerance});
    if (one.size() > 1) pairs.push_back({one.back().at, other.back().at, tolerance});
  }
  return pairs;
}

}  // namespace

std::optional<std::pair<Vec2, Vec2>> ends_of_edge(const EdgedOutline& outline, std::size_t edge) {
  const std::size_t n = outline.edge.size();
  std::pair<Vec2, Vec2> ends;
  int starts = 0;
  for (std::size_t i = 0; i < n; ++i) {
    if (outline.edge[i] != edge) continue;
    if (outline.edge[(i + n - 1) % n] != edge) {
      ends.first = outline.path.segment(i).a;
      ++starts;
    }
    if (outline.edge[(i + 1) % n] != edge) ends.second = outline.path.segment(i).b;
  }
  if (starts != 1) return std::nullopt;
  return ends;
}

ServeTable::Ready ServeTable::made_ready(const DieShape& shape) {
  Ready ready;
  ready.outline = MeasuredOutline(shape.cut.path, shape.cut.edge);
  for (const ClosedArcPath& cut_out : shape.cut_outs) ready.cut_outs.emplace_back(cut_out);
  ready.invariants = rigid_invariants(shape.cut.path);
  ready.shape = &shape;
  return ready;
}

ServeTable::ServeTable(const std::vector<const DieShape*>& demands, PieceTolerances tolerances,
                       ServeOptions options)
    : tolerances_(std::move(tolerances)), cut_out_tolerance_{tolerances_.cut_outs}, options_(options) {
  for (const DieShape* shape : demands) demands_.push_back(made_ready(*shape));
  for (const double tolerance : tolerances_.edges) {
    invariant(tolerance > 0.0, "a tolerance is positive");
    greatest_tolerance_ = std::max(greatest_tolerance_, tolerance);
  }
}

ServeCount& ServeCount::operator+=(const ServeCount& more) {
  pairs += more.pairs;
  barred += more.barred;
  fitted += more.fitted;
  worst_gap = std::max(worst_gap, more.worst_gap);
  return *this;
}

bool alike(const DieShape& one, const DieShape& other) {
  if (one.holes.size() != other.holes.size() || one.marks.size() != other.marks.size() ||
      one.cut_outs.size() != other.cut_outs.size()) {
    return false;
  }
  for (std::size_t i = 0; i < one.holes.size(); ++i) {
    if (one.holes[i].operation != other.holes[i].operation) return false;
    if (std::abs(one.holes[i].radius - other.holes[i].radius) > tolerance::kSamePoint.value()) return false;
  }
  for (std::size_t i = 0; i < one.marks.size(); ++i) {
    if (one.marks[i].operation != other.marks[i].operation) return false;
    if (one.marks[i].path.vertices.empty() != other.marks[i].path.vertices.empty()) return false;
  }
  return true;
}

std::vector<OutlinePair> ServeTable::pairs_of(const Ready& die, const Ready& demand) const {
  std::vector<OutlinePair> outlines{{&demand.outline, &die.outline, tolerances_.edges}};
  for (std::size_t i = 0; i < die.cut_outs.size(); ++i) {
    outlines.push_back({&demand.cut_outs[i], &die.cut_outs[i], cut_out_tolerance_});
  }
  return outlines;
}

RigidFit ServeTable::fit(const Ready& die, const Ready& demand, double give_up_above) const {
  const std::vector<OutlinePair> outlines = pairs_of(die, demand);
  const std::vector<PointPair> points = point_pairs(*demand.shape, *die.shape, tolerances_.marks);
  if (options_.reference_edge) {
    const auto moving = ends_of_edge(demand.shape->cut, *options_.reference_edge);
    const auto still = ends_of_edge(die.shape->cut, *options_.reference_edge);
    if (moving && still) {
      const Placement placement =
          placement_by_edge(moving->first, moving->second, still->first, still->second);
      return judge_placement(outlines, points, placement, options_.precision);
    }
  }
  RigidFitOptions options;
  options.precision = options_.precision;
  options.give_up_above = give_up_above;
  options.steps = options_.steps;
  return fit_rigidly(outlines, points, options);
}

RigidFit ServeTable::measured(const DieShape& die, std::uint32_t demand, const Placement& placement) const {
  const Ready ready = made_ready(die);
  const Ready& wanted = demands_[demand];
  return judge_placement(pairs_of(ready, wanted), point_pairs(*wanted.shape, die, tolerances_.marks),
                         placement, options_.precision);
}

double greatest_deviation(const RigidFit& fit, const DieShape& demand, const DieShape& die) {
  return greatest_value(fit, point_pairs(demand, die, 1.0));
}

RigidFit ServeTable::judged(const DieShape& die, std::uint32_t demand) const {
  return fit(made_ready(die), demands_[demand], 1e300);
}

std::vector<Serves> ServeTable::served_by(const DieShape& die, std::optional<std::uint32_t> same_as,
                                          ServeCount& count) const {
  const Ready ready = made_ready(die);
  std::vector<Serves> served;
  for (std::uint32_t demand = 0; demand < demands_.size(); ++demand) {
    ++count.pairs;
    if (same_as == demand) {
      served.push_back({demand, 0.0, 0.0, {}});
      continue;
    }
    const Ready& wanted = demands_[demand];
    if (least_deviation(ready.invariants, wanted.invariants) > options_.up_to * greatest_tolerance_ ||
        !alike(die, *wanted.shape)) {
      ++count.barred;
      continue;
    }
    ++count.fitted;
    // A first-order bound a tenth above the limit leaves no
    // room for what curvature adds or takes over millimetres.
    const RigidFit found = fit(ready, wanted, 1.1 * options_.up_to);
    if (!found.given_up && !options_.reference_edge && found.ratio > 0.9 && found.ratio < 1.1) {
      count.worst_gap = std::max(count.worst_gap, (found.ratio - found.first_order_bound) / found.ratio);
    }
    if (found.given_up || found.ratio > options_.up_to) continue;
    served.push_back({demand, found.ratio,
                      greatest_value(found, point_pairs(*wanted.shape, die, tolerances_.marks)),
                      found.placement});
  }
  return served;
}

}  // namespace lastwright
