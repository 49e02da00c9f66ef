#include "grading/grade/grade_map.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

Vec2 displacement(const std::vector<DriverValue>& values, const Drivers& drivers) {
  Vec2 u;
  for (std::size_t j = 0; j < drivers.size(); ++j) u += drivers[j] * values[j].u;
  return u;
}

}  // namespace

double GradeMap::wanted_length(const RuleCondition& condition, const GradeStep& step) const {
  double wanted = distance(sites_[condition.at[0]].at, sites_[condition.at[1]].at);
  for (std::size_t m = 0; m < condition.carries.size(); ++m)
    wanted += condition.carries[m] * step.increments[m];
  return wanted;
}

Vec2 GradeMap::moved_site(std::size_t site, const Drivers& drivers) const {
  return sites_[site].at + displacement(sites_[site].values, drivers);
}

// How far the graded points are from what the condition asks, in millimetres.
double GradeMap::residual(const RuleCondition& condition, const GradeStep& step,
                          const Drivers& drivers) const {
  const auto moved = [&](std::size_t k) { return moved_site(condition.at[k], drivers); };
  const auto drawn = [&](std::size_t k) { return sites_[condition.at[k]].at; };
  switch (condition.kind) {
    case RuleCondition::Kind::kFixed:
      return dot(moved(0) - drawn(0), condition.direction);
    case RuleCondition::Kind::kLength:
      return distance(moved(0), moved(1)) - wanted_length(condition, step);
    case RuleCondition::Kind::kMove:
      return dot(moved(0) - drawn(0), condition.direction) - condition.per_size * step.size_steps -
             condition.per_width * step.width_steps;
    case RuleCondition::Kind::kSimilar: {
      const Vec2 near = moved(1) - drawn(1);
      return dot(moved(0) - drawn(0) - near, condition.direction) -
             dot(moved(2) - drawn(2) - near, condition.answer);
    }
    case RuleCondition::Kind::kOnLine: {
      const double now = cross(unit(moved(2) - moved(1)), moved(0) - moved(1));
      return now - cross(unit(drawn(2) - drawn(1)), drawn(0) - drawn(1));
    }
    case RuleCondition::Kind::kSquare:
      return dot(moved(0) - moved(1), unit(moved(3) - moved(2)));
  }
  return 0.0;
}

// The two-axis stretch that gives the length line and the girth line their lengths. A line with direction (x,
// y) in the frame is stretched to sqrt(x^2 s^2 + y^2 t^2) of its length: linear in the squares of the factors
// s and t.
Result<Drivers> GradeMap::stretches(const GradeStep& step) const {
  double square[2][3];
  const std::size_t lines[2] = {length_line_, girth_line_};
  for (int i = 0; i < 2; ++i) {
    const RuleCondition& line = lines_[lines[i]];
    const Vec2 d = sites_[line.at[1]].at - sites_[line.at[0]].at;
    const double x = dot(d, field_.frame().axis);
    const double y = cross(field_.frame().axis, d);
    const double wanted = wanted_length(line, step);
    square[i][0] = x * x;
    square[i][1] = y * y;
    square[i][2] = wanted * wanted;
    if (!(wanted > 0.0)) {
      return Problem{
          Trouble::kGrade, fmt::format("the line {} would have no length left", line.rule), {}, wanted, 0.0};
    }
  }
  const double det = square[0][0] * square[1][1] - square[0][1] * square[1][0];
  const double s = (square[0][2] * square[1][1] - square[0][1] * square[1][2]) / det;
  const double t = (square[0][0] * square[1][2] - square[0][2] * square[1][0]) / det;
  if (!(s > 0.0 && t > 0.0)) {
    return Problem{Trouble::kGrade,
                   fmt::format("no proportional grade gives the lines {} and {} their lengths",
                               lines_[lines[0]].rule, lines_[lines[1]].rule),
                   {},
                   {},
                   {}};
  }
  Drivers drivers(field_.drivers(), 0.0);
  drivers[0] = std::sqrt(s) - 1.0;
  drivers[1] = std::sqrt(t) - 1.0;
  return drivers;
}

Result<Drivers> GradeMap::drivers(const GradeStep& step) const {
  Result<Drivers> drivers = stretches(step);
  if (!drivers) return drivers;
  // Each condition's own driver changes its linear part by exactly one: what is left over is of second order.
  constexpr int kMostRounds = 60;
  constexpr double kGrowth =
      10.0;  // rounds that settle shrink what is left; this much more than at first never ends
  double first = 0.0;
  for (int round = 0; round < kMostRounds; ++round) {
    std::vector<double> left(conditions_.size());
    double worst = 0.0;
    std::size_t at = 0;
    for (std::size_t j = 0; j < conditions_.size(); ++j) {
      left[j] = residual(conditions_[j], step, *drivers);
      if (field_.dependent()[j] || std::abs(left[j]) <= worst) continue;
      worst = std::abs(left[j]);
      at = j;
    }
    if (worst < tolerance::kRoot.value()) break;
    if (round == 0) first = worst;
    if (!(worst <= kGrowth * first)) {
      return Problem{Trouble::kGrade,
                     "the rules contradict each other: points close together are asked to move so "
                     "differently that no smooth grade can do it",
                     {},
                     {},
                     {}}
          .in("rule", conditions_[at].rule)
          .in("forme", forme_.name);
    }
    for (std::size_t j = 0; j < conditions_.size(); ++j) {
      if (!field_.dependent()[j]) (*drivers)[j + 2] -= left[j];
    }
  }
  for (const RuleCondition& condition : conditions_) {
    const double left = residual(condition, step, *drivers);
    if (!(std::abs(left) <= tolerance::kMeasureLine.value())) {
      Problem problem{
          Trouble::kGrade,
          "the rule contradicts the base line or rules before it: it is missed by this many millimetres",
          {},
          left,
          tolerance::kMeasureLine.value()};
      return problem.in("rule", condition.rule).in("forme", forme_.name);
    }
  }
  return drivers;
}

Vec2 GradeMap::graded(Vec2 p, const Drivers& drivers) const {
  return graded(p, std::span(&drivers, 1)).front();
}

std::vector<Vec2> GradeMap::graded(Vec2 p, std::span<const Drivers> each) const {
  std::vector<Vec2> values(field_.drivers());
  field_.displacements(p, values);
  std::vector<Vec2> places(each.size(), p);
  for (std::size_t i = 0; i < each.size(); ++i) {
    for (std::size_t j = 0; j < each[i].size(); ++j) places[i] += each[i][j] * values[j];
  }
  return places;
}

double GradeMap::determinant(Vec2 p, const Drivers& drivers) const {
  std::vector<DriverValue> values(field_.drivers());
  field_.evaluate(p, values);
  Vec2 x{1.0, 0.0};
  Vec2 y{0.0, 1.0};
  for (std::size_t j = 0; j < drivers.size(); ++j) {
    x += drivers[j] * values[j].ux;
    y += drivers[j] * values[j].uy;
  }
  return cross(x, y);
}

std::vector<LineReading> GradeMap::readings(const GradeStep& step, const Drivers& drivers) const {
  std::vector<LineReading> readings;
  for (std::size_t i = 0; i < lines_.size(); ++i) {
    const RuleCondition& line = lines_[i];
    readings.push_back({line.rule, drives_[i], distance(sites_[line.at[0]].at, sites_[line.at[1]].at),
                        wanted_length(line, step),
                        distance(moved_site(line.at[0], drivers), moved_site(line.at[1], drivers))});
  }
  return readings;
}

}  // namespace lastwright
