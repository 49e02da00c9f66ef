#include "geometry/map/driver_field.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <set>
#include <utility>

#include "geometry/invariant.hpp"
#include "geometry/map/field_part.hpp"
#include "geometry/map/field_solve.hpp"

namespace lastwright {

DriverField::DriverField(FieldFrame frame, std::vector<Condition> conditions,
                         const std::vector<LocalSpace>& local)
    : frame_(frame), conditions_(std::move(conditions)), dependent_(conditions_.size(), true) {
  const FieldKernel kernel = FieldKernel::wide(frame_.length_scale);
  const std::size_t count = conditions_.size();
  const auto index = [](std::size_t i) { return static_cast<Eigen::Index>(i); };
  Eigen::MatrixXd gram(index(count), index(count));
  for (std::size_t i = 0; i < count; ++i) {
    for (std::size_t j = 0; j <= i; ++j) {
      gram(index(i), index(j)) = gram(index(j), index(i)) =
          inner_product(kernel, frame_, conditions_[i], conditions_[j]);
    }
  }
  std::set<std::size_t> served;
  for (const LocalSpace& space : local) served.insert(space.conditions.begin(), space.conditions.end());
  std::vector<LocalFields> added;
  for (const LocalSpace& space : local) {
    added.push_back(local_fields(frame_, conditions_, space, {served.begin(), served.end()}));
    const LocalFields& fields = added.back();
    for (std::size_t i = 0; i < fields.felt.size(); ++i) {
      for (std::size_t j = 0; j < fields.felt.size(); ++j)
        gram(index(fields.felt[i]), index(fields.felt[j])) += fields.gram(index(i), index(j)) / kLocalCost;
    }
  }
  constexpr double kNothingNew = 1e-9;  // of the condition's own weight
  constexpr double kRounding = 1e-11;   // of a pivot that local fields make large
  Eigen::VectorXd nothing_new(index(count));
  for (std::size_t j = 0; j < count; ++j) {
    nothing_new(index(j)) =
        std::max(kNothingNew * weight_square(conditions_[j]), kRounding * gram(index(j), index(j)));
  }
  const SettledFactor factor = settled_factor(gram, nothing_new);
  for (const Eigen::Index j : factor.kept) dependent_[static_cast<std::size_t>(j)] = false;
  condition_number_ = 1.0 / factor.smallest;
  const Eigen::MatrixXd inverse = factor.inverse(index(count));
  SiteWeights weights = site_weights(frame_, conditions_);
  std::vector<FieldPart> parts;
  parts.emplace_back(kernel, std::move(weights.sites), weights.along * inverse, weights.across * inverse);
  for (const LocalFields& fields : added) {
    Eigen::MatrixXd rows(index(fields.felt.size()), index(count));
    for (std::size_t i = 0; i < fields.felt.size(); ++i)
      rows.row(index(i)) = inverse.row(index(fields.felt[i])) / kLocalCost;
    parts.push_back(fields.part.mixed(rows));
  }
  parts_ = std::make_shared<const std::vector<FieldPart>>(std::move(parts));
}

void DriverField::displacements(Vec2 p, std::span<Vec2> out) const {
  invariant(out.size() == drivers(), "one value per driver");
  const Vec2 q = to_frame(frame_, p);
  out[0] = q.x * frame_.axis;
  out[1] = q.y * left_of(frame_.axis);
  if (conditions_.empty()) return;
  const auto columns = static_cast<Eigen::Index>(conditions_.size());
  Eigen::RowVectorXd x = Eigen::RowVectorXd::Zero(columns);
  Eigen::RowVectorXd y = Eigen::RowVectorXd::Zero(columns);
  for (const FieldPart& part : *parts_) {
    if (part.reaches(q)) part.add_displacements(q, x, y);
  }
  for (std::size_t j = 0; j < conditions_.size(); ++j) {
    const auto column = static_cast<Eigen::Index>(j);
    out[j + 2] = turn_from_frame(frame_, {x(column), y(column)});
  }
}

void DriverField::evaluate(Vec2 p, std::span<DriverValue> out) const {
  invariant(out.size() == drivers(), "one value per driver");
  const Vec2 e = frame_.axis;
  const Vec2 n = left_of(e);
  const Vec2 q = to_frame(frame_, p);
  out[0] = {q.x * e, e.x * e, e.y * e};
  out[1] = {q.y * n, n.x * n, n.y * n};
  if (conditions_.empty()) return;
  const auto [x, y] = felt_at(*parts_, q, static_cast<Eigen::Index>(conditions_.size()));
  for (std::size_t j = 0; j < conditions_.size(); ++j) {
    const auto column = static_cast<Eigen::Index>(j);
    const Vec2 along = turn_from_frame(frame_, {x(1, column), y(1, column)});   // derivative along the axis
    const Vec2 across = turn_from_frame(frame_, {x(2, column), y(2, column)});  // derivative across it
    out[j + 2] = {turn_from_frame(frame_, {x(0, column), y(0, column)}), e.x * along + n.x * across,
                  e.y * along + n.y * across};
  }
}

}  // namespace lastwright
