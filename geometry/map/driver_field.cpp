#include "geometry/map/driver_field.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "geometry/invariant.hpp"

namespace lastwright {

namespace {

struct Kernel {
  double inverse_scale;  // sqrt(5) / length scale

  [[nodiscard]] double value(double r) const {
    const double a = inverse_scale * r;
    return (1.0 + a + a * a / 3.0) * std::exp(-a);
  }
  struct Jet {
    double value;
    double slope_over_r;  // (dk/dr) / r: finite at r = 0
  };
  [[nodiscard]] Jet jet(double r) const {
    const double a = inverse_scale * r;
    const double fades = std::exp(-a);
    return {(1.0 + a + a * a / 3.0) * fades, -inverse_scale * inverse_scale / 3.0 * (1.0 + a) * fades};
  }
};

// Coordinates in the frame of the field: x along the axis, y to its left.
Vec2 turn_to_frame(const FieldFrame& frame, Vec2 v) {
  return {dot(v, frame.axis), cross(frame.axis, v)};
}
Vec2 to_frame(const FieldFrame& frame, Vec2 p) {
  return turn_to_frame(frame, p - frame.origin);
}
Vec2 turn_from_frame(const FieldFrame& frame, Vec2 v) {
  return v.x * frame.axis + v.y * left_of(frame.axis);
}

// The kernel at a point of the frame against every site. Rows: its value, its x and its y derivative, in the
// frame.
struct KernelRows {
  using Rows = Eigen::Matrix<double, 3, Eigen::Dynamic>;
  Rows even;  // mirrored in the axis and added: for displacements along it
  Rows odd;   // and subtracted: across it
};

KernelRows kernel_rows(const FieldFrame& frame, const std::vector<Vec2>& sites, Vec2 q) {
  const Kernel kernel{std::sqrt(5.0) / frame.length_scale.value()};
  const auto count = static_cast<Eigen::Index>(sites.size());
  KernelRows rows{KernelRows::Rows(3, count), KernelRows::Rows(3, count)};
  for (std::size_t i = 0; i < sites.size(); ++i) {
    const Vec2 near = q - sites[i];
    const Vec2 far = q - Vec2{sites[i].x, -sites[i].y};
    const Kernel::Jet near_jet = kernel.jet(norm(near));
    const Kernel::Jet far_jet = kernel.jet(norm(far));
    const Vec2 near_slope = near_jet.slope_over_r * near;
    const Vec2 far_slope = far_jet.slope_over_r * far;
    const auto column = static_cast<Eigen::Index>(i);
    rows.even.col(column) << near_jet.value + far_jet.value, near_slope.x + far_slope.x,
        near_slope.y + far_slope.y;
    rows.odd.col(column) << near_jet.value - far_jet.value, near_slope.x - far_slope.x,
        near_slope.y - far_slope.y;
  }
  return rows;
}

double inner_product(const Kernel& kernel, const FieldFrame& frame, const Condition& a, const Condition& b) {
  double sum = 0.0;
  for (const ConditionTerm& i : a) {
    const Vec2 p = to_frame(frame, i.at);
    const Vec2 wi = turn_to_frame(frame, i.weight);
    for (const ConditionTerm& j : b) {
      const Vec2 q = to_frame(frame, j.at);
      const Vec2 wj = turn_to_frame(frame, j.weight);
      const double near = kernel.value(norm(p - q));
      const double far = kernel.value(norm(p - Vec2{q.x, -q.y}));
      sum += wi.x * wj.x * (near + far) + wi.y * wj.y * (near - far);
    }
  }
  return sum;
}

double weight_square(const Condition& condition) {
  double sum = 0.0;
  for (const ConditionTerm& term : condition) sum += dot(term.weight, term.weight);
  return sum;
}

}  // namespace

DriverField::DriverField(FieldFrame frame, std::vector<Condition> conditions)
    : frame_(frame), conditions_(std::move(conditions)), dependent_(conditions_.size(), false) {
  invariant(frame_.length_scale.value() > 0.0, "a field needs a positive length scale");
  const Kernel kernel{std::sqrt(5.0) / frame_.length_scale.value()};
  const std::size_t count = conditions_.size();
  const auto index = [](std::size_t i) { return static_cast<Eigen::Index>(i); };
  Eigen::MatrixXd gram(index(count), index(count));
  for (std::size_t i = 0; i < count; ++i) {
    for (std::size_t j = 0; j <= i; ++j) {
      gram(index(i), index(j)) = gram(index(j), index(i)) =
          inner_product(kernel, frame_, conditions_[i], conditions_[j]);
    }
  }
  // Cholesky in the order of the conditions, leaving out each one that the earlier ones already settle.
  std::vector<Eigen::Index> kept;
  Eigen::MatrixXd lower = Eigen::MatrixXd::Zero(index(count), index(count));
  double largest = 0.0;
  double smallest = 0.0;
  for (std::size_t j = 0; j < count; ++j) {
    const Eigen::Index k = index(kept.size());
    Eigen::VectorXd row(k);
    for (Eigen::Index i = 0; i < k; ++i) {
      const double known = lower.row(i).head(i).dot(row.head(i));
      row(i) = (gram(index(j), kept[static_cast<std::size_t>(i)]) - known) / lower(i, i);
    }
    const double pivot = gram(index(j), index(j)) - row.squaredNorm();
    constexpr double kNothingNew = 1e-9;
    if (!(pivot > kNothingNew * weight_square(conditions_[j]))) {
      dependent_[j] = true;
      continue;
    }
    lower.row(k).head(k) = row.transpose();
    lower(k, k) = std::sqrt(pivot);
    largest = kept.empty() ? pivot : std::max(largest, pivot);
    smallest = kept.empty() ? pivot : std::min(smallest, pivot);
    kept.push_back(index(j));
  }
  const Eigen::Index rank = index(kept.size());
  condition_number_ = rank > 0 ? largest / smallest : 1.0;
  const Eigen::MatrixXd factor = lower.topLeftCorner(rank, rank);
  const Eigen::MatrixXd half =
      factor.triangularView<Eigen::Lower>().solve(Eigen::MatrixXd::Identity(rank, rank));
  const Eigen::MatrixXd compact = half.transpose() * half;
  Eigen::MatrixXd inverse = Eigen::MatrixXd::Zero(index(count), index(count));
  for (Eigen::Index i = 0; i < rank; ++i) {
    for (Eigen::Index j = 0; j < rank; ++j) {
      inverse(kept[static_cast<std::size_t>(i)], kept[static_cast<std::size_t>(j)]) = compact(i, j);
    }
  }
  gather_sites(inverse);
}

void DriverField::gather_sites(const Eigen::MatrixXd& inverse) {
  std::map<std::pair<double, double>, Eigen::Index> known;
  for (const Condition& condition : conditions_) {
    for (const ConditionTerm& term : condition) {
      const Vec2 site = to_frame(frame_, term.at);
      if (known.emplace(std::pair(site.x, site.y), static_cast<Eigen::Index>(sites_.size())).second)
        sites_.push_back(site);
    }
  }
  const auto rows = static_cast<Eigen::Index>(sites_.size());
  const auto columns = static_cast<Eigen::Index>(conditions_.size());
  Eigen::MatrixXd along = Eigen::MatrixXd::Zero(rows, columns);
  Eigen::MatrixXd across = Eigen::MatrixXd::Zero(rows, columns);
  for (std::size_t j = 0; j < conditions_.size(); ++j) {
    for (const ConditionTerm& term : conditions_[j]) {
      const Vec2 site = to_frame(frame_, term.at);
      const Vec2 weight = turn_to_frame(frame_, term.weight);
      const Eigen::Index row = known.at({site.x, site.y});
      along(row, static_cast<Eigen::Index>(j)) += weight.x;
      across(row, static_cast<Eigen::Index>(j)) += weight.y;
    }
  }
  along_ = along * inverse;
  across_ = across * inverse;
}

void DriverField::displacements(Vec2 p, std::span<Vec2> out) const {
  invariant(out.size() == drivers(), "one value per driver");
  const Vec2 q = to_frame(frame_, p);
  out[0] = q.x * frame_.axis;
  out[1] = q.y * left_of(frame_.axis);
  if (conditions_.empty()) return;
  const Kernel kernel{std::sqrt(5.0) / frame_.length_scale.value()};
  const auto count = static_cast<Eigen::Index>(sites_.size());
  Eigen::RowVectorXd even(count);
  Eigen::RowVectorXd odd(count);
  for (std::size_t i = 0; i < sites_.size(); ++i) {
    const double near = kernel.value(norm(q - sites_[i]));
    const double far = kernel.value(norm(q - Vec2{sites_[i].x, -sites_[i].y}));
    even(static_cast<Eigen::Index>(i)) = near + far;
    odd(static_cast<Eigen::Index>(i)) = near - far;
  }
  const Eigen::RowVectorXd x = even * along_;
  const Eigen::RowVectorXd y = odd * across_;
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
  const KernelRows rows = kernel_rows(frame_, sites_, q);
  const KernelRows::Rows x = rows.even * along_;
  const KernelRows::Rows y = rows.odd * across_;
  for (std::size_t j = 0; j < conditions_.size(); ++j) {
    const auto column = static_cast<Eigen::Index>(j);
    const Vec2 along = turn_from_frame(frame_, {x(1, column), y(1, column)});   // derivative along the axis
    const Vec2 across = turn_from_frame(frame_, {x(2, column), y(2, column)});  // derivative across it
    out[j + 2] = {turn_from_frame(frame_, {x(0, column), y(0, column)}), e.x * along + n.x * across,
                  e.y * along + n.y * across};
  }
}

FieldMix DriverField::mixed(const Eigen::MatrixXd& columns) const {
  invariant(columns.rows() == static_cast<Eigen::Index>(drivers()), "one row per driver");
  const Eigen::MatrixXd of_conditions = columns.bottomRows(columns.rows() - 2);
  return {frame_, sites_, along_ * of_conditions, across_ * of_conditions, columns.topRows(2)};
}

FieldMix::FieldMix(FieldFrame frame, std::vector<Vec2> sites, Eigen::MatrixXd along, Eigen::MatrixXd across,
                   Eigen::MatrixXd stretches)
    : frame_(frame),
      sites_(std::move(sites)),
      along_(std::move(along)),
      across_(std::move(across)),
      stretches_(std::move(stretches)) {}

FieldMix::Slopes FieldMix::slopes(Vec2 p) const {
  const Vec2 e = frame_.axis;
  const Vec2 n = left_of(e);
  const KernelRows rows = kernel_rows(frame_, sites_, to_frame(frame_, p));
  KernelRows::Rows x = rows.even * along_;
  KernelRows::Rows y = rows.odd * across_;
  x.row(1) += stretches_.row(0);
  y.row(2) += stretches_.row(1);
  Slopes slopes(4, size());
  for (Eigen::Index k = 0; k < size(); ++k) {
    const Vec2 along = turn_from_frame(frame_, {x(1, k), y(1, k)});
    const Vec2 across = turn_from_frame(frame_, {x(2, k), y(2, k)});
    const Vec2 ux = e.x * along + n.x * across;
    const Vec2 uy = e.y * along + n.y * across;
    slopes.col(k) << ux.x, ux.y, uy.x, uy.y;
  }
  return slopes;
}

}  // namespace lastwright
