#include "geometry/map/field_part.hpp"

#include <cmath>
#include <limits>
#include <utility>

#include "geometry/invariant.hpp"

namespace lastwright {

FieldKernel FieldKernel::wide(Millimetres length_scale) {
  invariant(length_scale.value() > 0.0, "a field needs a positive length scale");
  FieldKernel kernel;
  kernel.inverse_scale_ = std::sqrt(5.0) / length_scale.value();
  kernel.reach_ = std::numeric_limits<double>::infinity();
  return kernel;
}

FieldKernel FieldKernel::local(Millimetres reach) {
  invariant(reach.value() > 0.0, "a local field needs a positive reach");
  FieldKernel kernel;
  kernel.inverse_scale_ = 1.0 / reach.value();
  kernel.reach_ = reach.value();
  return kernel;
}

double FieldKernel::wide_value(double r) const {
  const double a = inverse_scale_ * r;
  return (1.0 + a + a * a / 3.0) * std::exp(-a);
}

double FieldKernel::local_value(double r) const {
  const double s = inverse_scale_ * r;
  if (!(s < 1.0)) return 0.0;
  const double square = (1.0 - s) * (1.0 - s);
  return square * square * (4.0 * s + 1.0);
}

FieldKernel::Window FieldKernel::window(double y) const {
  constexpr double kShareOfReach =
      1.0 / 3.0;  // of the reach: the window is wide enough to keep the field smooth
  const double to_one = inverse_scale_ / kShareOfReach;
  const double t = to_one * y;
  if (std::abs(t) >= 1.0) return {std::copysign(1.0, t), 0.0};
  const double square = t * t;
  return {t * (15.0 - 10.0 * square + 3.0 * square * square) / 8.0,
          to_one * 15.0 * (1.0 - square) * (1.0 - square) / 8.0};
}

FieldKernel::Value FieldKernel::value(Vec2 p, Vec2 site) const {
  if (std::isinf(reach_)) {
    const double near = wide_value(norm(p - site));
    const double far = wide_value(norm(p - Vec2{site.x, -site.y}));
    return {near + far, near - far};
  }
  const double near = local_value(norm(p - site));
  return {near, window(p.y).value * window(site.y).value * near};
}

FieldKernel::Jet FieldKernel::jet(Vec2 p, Vec2 site) const {
  if (std::isinf(reach_)) {
    struct Radial {
      double value;
      double slope_over_r;  // finite at r = 0
    };
    const auto radial = [this](double r) -> Radial {
      const double a = inverse_scale_ * r;
      const double fades = std::exp(-a);
      return {(1.0 + a + a * a / 3.0) * fades, -inverse_scale_ * inverse_scale_ / 3.0 * (1.0 + a) * fades};
    };
    const Vec2 to_near = p - site;
    const Vec2 to_far = p - Vec2{site.x, -site.y};
    const auto [near, near_over_r] = radial(norm(to_near));
    const auto [far, far_over_r] = radial(norm(to_far));
    const Vec2 near_slope = near_over_r * to_near;
    const Vec2 far_slope = far_over_r * to_far;
    return {{near + far, near - far},
            {near_slope.x + far_slope.x, near_slope.x - far_slope.x},
            {near_slope.y + far_slope.y, near_slope.y - far_slope.y}};
  }
  const double s = inverse_scale_ * norm(p - site);
  if (!(s < 1.0)) return {};
  const double near = local_value(norm(p - site));
  const double cube = (1.0 - s) * (1.0 - s) * (1.0 - s);
  const Vec2 slope = -20.0 * inverse_scale_ * inverse_scale_ * cube * (p - site);
  const Window here = window(p.y);
  const double there = window(site.y).value;
  return {{near, here.value * there * near},
          {slope.x, here.value * there * slope.x},
          {slope.y, there * (here.value * slope.y + here.slope * near)}};
}

FieldPart::FieldPart(FieldKernel kernel, std::vector<Vec2> sites, Eigen::MatrixXd along,
                     Eigen::MatrixXd across)
    : kernel_(kernel), sites_(std::move(sites)), along_(std::move(along)), across_(std::move(across)) {
  for (const Vec2 site : sites_) box_.add(site);
  if (!sites_.empty()) box_ = box_.grown(kernel_.reach());
}

bool FieldPart::reaches(Vec2 p) const {
  return box_.low.x < p.x && p.x < box_.high.x && box_.low.y < p.y && p.y < box_.high.y;
}

void FieldPart::add_displacements(Vec2 p, Eigen::RowVectorXd& x, Eigen::RowVectorXd& y) const {
  const auto count = static_cast<Eigen::Index>(sites_.size());
  Eigen::RowVectorXd along(count);
  Eigen::RowVectorXd across(count);
  for (Eigen::Index i = 0; i < count; ++i) {
    const FieldKernel::Value felt = kernel_.value(p, sites_[static_cast<std::size_t>(i)]);
    along(i) = felt.along;
    across(i) = felt.across;
  }
  x += along * along_;
  y += across * across_;
}

void FieldPart::add_jets(Vec2 p, Rows& x, Rows& y) const {
  const auto count = static_cast<Eigen::Index>(sites_.size());
  Rows along(3, count);
  Rows across(3, count);
  for (Eigen::Index i = 0; i < count; ++i) {
    const FieldKernel::Jet felt = kernel_.jet(p, sites_[static_cast<std::size_t>(i)]);
    along.col(i) << felt.value.along, felt.in_x.along, felt.in_y.along;
    across.col(i) << felt.value.across, felt.in_x.across, felt.in_y.across;
  }
  x += along * along_;
  y += across * across_;
}

FieldPart FieldPart::mixed(const Eigen::MatrixXd& columns) const {
  return {kernel_, sites_, along_ * columns, across_ * columns};
}

FeltJets felt_at(const std::vector<FieldPart>& parts, Vec2 p, Eigen::Index columns) {
  FeltJets felt{FieldPart::Rows::Zero(3, columns), FieldPart::Rows::Zero(3, columns)};
  for (const FieldPart& part : parts) {
    if (part.reaches(p)) part.add_jets(p, felt.x, felt.y);
  }
  return felt;
}

}  // namespace lastwright
