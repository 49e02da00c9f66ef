// The map that grades a last: a stretch along its axis and
// smooth fields of bottom width, upper width and height.
//
// A point (x, y, z) of the base goes to
//   x' = k x
//   y' = c(x) b(x) + s (y - c(x)),     s = u(x) + (b(x) - u(x)) exp(-h^2 / (2 r^2)),  h = z - f(x)
//   z' = (1 - w) (f'(x) + t(x) h) + w (top plane moved)
// with c the middle line of the bottom, f its profile, b, u, t the fields (bottom width, upper width, height)
// and f' the graded profile: f + heel lift * heel ramp + toe lift * toe ramp. Over the last `blend` mm below
// the top plane w rises from 0 to 1, so that the plane stays plane and keeps its tilt. Every part is twice
// continuously differentiable. The determinant is k * s * dz'/dz, because z' does not depend on y: the map
// folds exactly where a factor is not positive.
#pragma once

#include <array>
#include <vector>

#include "geometry/solid/space_map.hpp"

namespace lastwright {

// A uniform cubic B-spline over [0, length]; constant ends are not forced.
class AxisSpline {
 public:
  struct Local {
    int first = 0;  // coefficients first .. first + 3 act here
    std::array<double, 4> value{};
    std::array<double, 4> slope{};
  };
  AxisSpline() = default;
  AxisSpline(double length, int count, double constant);

  [[nodiscard]] Local local(
      double x) const;  // the end spans go on for a tenth of the length beyond the range
  [[nodiscard]] double at(const Local& l) const;
  [[nodiscard]] double slope(const Local& l) const;
  [[nodiscard]] double operator()(double x) const { return at(local(x)); }
  [[nodiscard]] int count() const { return static_cast<int>(coefficients.size()); }
  [[nodiscard]] double length() const { return length_; }

  std::vector<double> coefficients;

 private:
  double length_ = 1.0;
};

// What stays the same for every size of one base last.
struct AxisFrame {
  double length = 1.0;  // stick length of the base; x runs from 0 to it
  AxisSpline middle;    // y of the bottom's middle line over x
  AxisSpline profile;   // z of the bottom over x
  double bottom_reach =
      14.0;                 // r: how far up the bottom's width is felt, mm; the wall above the feather edge
  double heel_flat = 0.25;  // share of the length up to which the heel lift acts in full
  double tread = 0.67;      // share where both lifts have run out: the last stands here
  bool has_top = false;
  double top_at_zero = 0.0;  // the top plane is z = top_at_zero + top_tilt x
  double top_tilt = 0.0;
  double blend = 48.0;  // mm below the top plane over which its rule takes over; see axis_frame.cpp
};

struct AxisMap final : SpaceMap {
  AxisFrame frame;
  double stretch = 1.0;
  double heel_lift = 0.0;  // mm added to the heel height
  double toe_lift = 0.0;   // mm added to the toe spring
  double top_lift = 0.0;   // mm added to the height of the top plane
  AxisSpline bottom_width;
  AxisSpline upper_width;
  AxisSpline height;

  [[nodiscard]] Vec3 operator()(Vec3 p) const override;

  struct Derivative {
    double xx = 1, yx = 0, yy = 1, yz = 0, zx = 0, zz = 1;  // yz = dy'/dz; the rest vanishes
    [[nodiscard]] Vec3 turned(Vec3 d) const {
      return {xx * d.x, yx * d.x + yy * d.y + yz * d.z, zx * d.x + zz * d.z};
    }
    [[nodiscard]] double determinant() const { return xx * yy * zz; }
  };
  Vec3 with_derivative(Vec3 p, Derivative& derivative) const;
  Vec3 with_jacobian(Vec3 p, Jacobian& jacobian) const override;

  // How the image of p moves with the coefficients: four of each field, starting at `first`.
  struct Influence {
    int first = 0;
    std::array<double, 4> y_by_bottom{};
    std::array<double, 4> y_by_upper{};
    std::array<double, 4> z_by_height{};
  };
  [[nodiscard]] Influence influence(Vec3 p) const;
};

inline constexpr int kFieldCoefficients = 14;  // enough for five to seven measures, condition about 15

// The map that changes nothing.
AxisMap identity_map(const AxisFrame& frame);

}  // namespace lastwright
