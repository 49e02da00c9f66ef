#include "geometry/map/field_solve.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace lastwright {

Vec2 turn_to_frame(const FieldFrame& frame, Vec2 v) {
  return {dot(v, frame.axis), cross(frame.axis, v)};
}
Vec2 to_frame(const FieldFrame& frame, Vec2 p) {
  return turn_to_frame(frame, p - frame.origin);
}
Vec2 turn_from_frame(const FieldFrame& frame, Vec2 v) {
  return v.x * frame.axis + v.y * left_of(frame.axis);
}

double inner_product(const FieldKernel& kernel, const FieldFrame& frame, const Condition& a,
                     const Condition& b) {
  double sum = 0.0;
  for (const ConditionTerm& i : a) {
    const Vec2 p = to_frame(frame, i.at);
    const Vec2 wi = turn_to_frame(frame, i.weight);
    for (const ConditionTerm& j : b) {
      const Vec2 wj = turn_to_frame(frame, j.weight);
      const FieldKernel::Value felt = kernel.value(p, to_frame(frame, j.at));
      sum += wi.x * wj.x * felt.along + wi.y * wj.y * felt.across;
    }
  }
  return sum;
}

double weight_square(const Condition& condition) {
  double sum = 0.0;
  for (const ConditionTerm& term : condition) sum += dot(term.weight, term.weight);
  return sum;
}

SettledFactor settled_factor(const Eigen::MatrixXd& gram, const Eigen::VectorXd& nothing_new) {
  SettledFactor factor;
  const Eigen::Index count = gram.rows();
  Eigen::MatrixXd lower = Eigen::MatrixXd::Zero(count, count);
  for (Eigen::Index j = 0; j < count; ++j) {
    const auto k = static_cast<Eigen::Index>(factor.kept.size());
    Eigen::VectorXd row(k);
    for (Eigen::Index i = 0; i < k; ++i) {
      const double known = lower.row(i).head(i).dot(row.head(i));
      row(i) = (gram(j, factor.kept[static_cast<std::size_t>(i)]) - known) / lower(i, i);
    }
    const double pivot = gram(j, j) - row.squaredNorm();
    if (!(pivot > nothing_new(j))) continue;
    lower.row(k).head(k) = row.transpose();
    lower(k, k) = std::sqrt(pivot);
    factor.smallest = std::min(factor.smallest, pivot / gram(j, j));
    factor.kept.push_back(j);
  }
  const auto rank = static_cast<Eigen::Index>(factor.kept.size());
  factor.lower = lower.topLeftCorner(rank, rank);
  return factor;
}

Eigen::MatrixXd SettledFactor::inverse(Eigen::Index size) const {
  const Eigen::Index rank = lower.rows();
  const Eigen::MatrixXd half =
      lower.triangularView<Eigen::Lower>().solve(Eigen::MatrixXd::Identity(rank, rank));
  const Eigen::MatrixXd compact = half.transpose() * half;
  Eigen::MatrixXd whole = Eigen::MatrixXd::Zero(size, size);
  for (Eigen::Index i = 0; i < rank; ++i) {
    for (Eigen::Index j = 0; j < rank; ++j)
      whole(kept[static_cast<std::size_t>(i)], kept[static_cast<std::size_t>(j)]) = compact(i, j);
  }
  return whole;
}

SiteWeights site_weights(const FieldFrame& frame, const std::vector<Condition>& conditions) {
  SiteWeights weights;
  std::map<std::pair<double, double>, Eigen::Index> known;
  for (const Condition& condition : conditions) {
    for (const ConditionTerm& term : condition) {
      const Vec2 site = to_frame(frame, term.at);
      const auto next = static_cast<Eigen::Index>(weights.sites.size());
      if (known.emplace(std::pair(site.x, site.y), next).second) weights.sites.push_back(site);
    }
  }
  const auto rows = static_cast<Eigen::Index>(weights.sites.size());
  const auto columns = static_cast<Eigen::Index>(conditions.size());
  weights.along = Eigen::MatrixXd::Zero(rows, columns);
  weights.across = Eigen::MatrixXd::Zero(rows, columns);
  for (std::size_t j = 0; j < conditions.size(); ++j) {
    for (const ConditionTerm& term : conditions[j]) {
      const Vec2 site = to_frame(frame, term.at);
      const Vec2 weight = turn_to_frame(frame, term.weight);
      const Eigen::Index row = known.at({site.x, site.y});
      weights.along(row, static_cast<Eigen::Index>(j)) += weight.x;
      weights.across(row, static_cast<Eigen::Index>(j)) += weight.y;
    }
  }
  return weights;
}

// With the kernel K, the still conditions S and the own ones O: the representers of O less their part in the
// span of S are R = K O - K S (S K S)^-1 S K O. Felt by F as G = F R. The fields are the span of R, so its
// kernel between two felt conditions is G^T (O R)^-1 G, and the representer of a felt one R (O R)^-1 G^T.
LocalFields local_fields(const FieldFrame& frame, const std::vector<Condition>& conditions,
                         const LocalSpace& space, std::vector<std::size_t> felt) {
  // Of a condition's own weight. An own condition that is left out here falls to the wide field, so only
  // rounding may be.
  constexpr double kNothingNew = 1e-9;
  constexpr double kRounding = 1e-13;
  const FieldKernel kernel = FieldKernel::local(space.reach);
  const auto index = [](std::size_t i) { return static_cast<Eigen::Index>(i); };
  const auto products = [&](const std::vector<Condition>& rows, const std::vector<Condition>& columns) {
    Eigen::MatrixXd all(index(rows.size()), index(columns.size()));
    for (std::size_t i = 0; i < rows.size(); ++i) {
      for (std::size_t j = 0; j < columns.size(); ++j)
        all(index(i), index(j)) = inner_product(kernel, frame, rows[i], columns[j]);
    }
    return all;
  };
  const auto thresholds = [&](const std::vector<Condition>& all, double share) {
    Eigen::VectorXd each(index(all.size()));
    for (std::size_t i = 0; i < all.size(); ++i) each(index(i)) = share * weight_square(all[i]);
    return each;
  };
  std::vector<Condition> own;
  for (const std::size_t j : space.conditions) own.push_back(conditions[j]);
  std::vector<Condition> feel;
  for (const std::size_t j : felt) feel.push_back(conditions[j]);
  const Eigen::MatrixXd still_still = products(space.still, space.still);
  const Eigen::MatrixXd still_own = products(space.still, own);
  const Eigen::MatrixXd still_felt = products(space.still, feel);
  const Eigen::MatrixXd taken =
      settled_factor(still_still, thresholds(space.still, kNothingNew)).inverse(still_still.rows()) *
      still_own;  // what each own condition would change of them
  const Eigen::MatrixXd own_own = products(own, own) - still_own.transpose() * taken;
  const Eigen::MatrixXd own_felt = products(own, feel) - taken.transpose() * still_felt;
  const Eigen::MatrixXd each =
      settled_factor(own_own, thresholds(own, kRounding)).inverse(own_own.rows()) * own_felt;  // own x felt
  std::vector<Condition> all = own;
  all.insert(all.end(), space.still.begin(), space.still.end());
  SiteWeights weights = site_weights(frame, all);
  Eigen::MatrixXd combined(index(all.size()), index(own.size()));
  combined << Eigen::MatrixXd::Identity(index(own.size()), index(own.size())), -taken;
  const Eigen::MatrixXd columns = combined * each;
  return {std::move(felt), own_felt.transpose() * each,
          FieldPart(kernel, std::move(weights.sites), weights.along * columns, weights.across * columns)};
}

}  // namespace lastwright
