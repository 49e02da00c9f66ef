#include "grading/lasts/axis_map.hpp"

#include <algorithm>

namespace lastwright {

namespace {

struct Ramp {
  double value = 0.0;
  double slope = 0.0;
};

// From 0 at t <= 0 to 1 at t >= 1, twice continuously differentiable.
Ramp smooth_step(double t) {
  if (t <= 0.0) return {0.0, 0.0};
  if (t >= 1.0) return {1.0, 0.0};
  return {t * t * t * (10.0 + t * (6.0 * t - 15.0)), 30.0 * t * t * (1.0 - t) * (1.0 - t)};
}

// Everything about p that map, derivative and influence share.
struct PointTerms {
  AxisSpline::Local field;
  double c, dc, f, df;         // middle and profile of the base
  double g, dg;                // graded profile
  double b, db, u, du, t, dt;  // fields
  double h, e, s;              // height over the bottom, weight of the bottom's width, width factor
  double z0;                   // height before the top blend
  Ramp w;                      // top blend, slope by q
  double q, zt;                // height over the top plane, and where the top rule puts it
};

PointTerms terms_at(const AxisMap& m, Vec3 p) {
  const AxisFrame& frame = m.frame;
  PointTerms r{};
  const AxisSpline::Local base = frame.middle.local(p.x);
  r.c = frame.middle.at(base);
  r.dc = frame.middle.slope(base);
  const AxisSpline::Local profile = frame.profile.local(p.x);
  r.f = frame.profile.at(profile);
  r.df = frame.profile.slope(profile);
  const double heel_end = frame.heel_flat * frame.length;
  const double tread = frame.tread * frame.length;
  const Ramp heel = smooth_step((tread - p.x) / (tread - heel_end));
  const Ramp toe = smooth_step((p.x - tread) / (frame.length - tread));
  r.g = r.f + m.heel_lift * heel.value + m.toe_lift * toe.value;
  r.dg =
      r.df - m.heel_lift * heel.slope / (tread - heel_end) + m.toe_lift * toe.slope / (frame.length - tread);
  r.field = m.bottom_width.local(p.x);
  r.b = m.bottom_width.at(r.field);
  r.db = m.bottom_width.slope(r.field);
  r.u = m.upper_width.at(r.field);
  r.du = m.upper_width.slope(r.field);
  r.t = m.height.at(r.field);
  r.dt = m.height.slope(r.field);
  r.h = p.z - r.f;
  r.e = std::exp(-r.h * r.h / (2.0 * frame.bottom_reach * frame.bottom_reach));
  r.s = r.u + (r.b - r.u) * r.e;
  r.z0 = r.g + r.t * r.h;
  if (frame.has_top) {
    r.q = p.z - frame.top_at_zero - frame.top_tilt * p.x;
    r.w = smooth_step(1.0 + r.q / frame.blend);
    r.zt = r.q + frame.top_at_zero + frame.top_tilt * m.stretch * p.x + m.top_lift;
  }
  return r;
}

Vec3 image(const AxisMap& m, const PointTerms& r, Vec3 p) {
  return {m.stretch * p.x, r.c * r.b + r.s * (p.y - r.c), (1.0 - r.w.value) * r.z0 + r.w.value * r.zt};
}

}  // namespace

AxisSpline::AxisSpline(double length, int count, double constant)
    : coefficients(static_cast<std::size_t>(count), constant), length_(length) {}

AxisSpline::Local AxisSpline::local(double x) const {
  const int spans = count() - 3;
  const double step = length_ / spans;
  // Surfaces reach a little beyond their trims: the end spans go on there, so that no knot falls on the ends.
  const double at = std::clamp(x / step, -0.1 * spans, 1.1 * spans);
  Local l;
  l.first = std::clamp(static_cast<int>(at), 0, spans - 1);
  const double t = at - l.first;
  const double o = 1.0 - t;
  l.value = {o * o * o / 6.0, (3.0 * t * t * t - 6.0 * t * t + 4.0) / 6.0,
             (-3.0 * t * t * t + 3.0 * t * t + 3.0 * t + 1.0) / 6.0, t * t * t / 6.0};
  l.slope = {-o * o / 2.0 / step, (3.0 * t * t - 4.0 * t) / 2.0 / step,
             (-3.0 * t * t + 2.0 * t + 1.0) / 2.0 / step, t * t / 2.0 / step};
  return l;
}

double AxisSpline::at(const Local& l) const {
  double sum = 0.0;
  for (std::size_t k = 0; k < 4; ++k) sum += l.value[k] * coefficients[static_cast<std::size_t>(l.first) + k];
  return sum;
}

double AxisSpline::slope(const Local& l) const {
  double sum = 0.0;
  for (std::size_t k = 0; k < 4; ++k) sum += l.slope[k] * coefficients[static_cast<std::size_t>(l.first) + k];
  return sum;
}

Vec3 AxisMap::operator()(Vec3 p) const {
  return image(*this, terms_at(*this, p), p);
}

Vec3 AxisMap::with_derivative(Vec3 p, Derivative& d) const {
  const PointTerms r = terms_at(*this, p);
  const double per_reach = 1.0 / (frame.bottom_reach * frame.bottom_reach);
  const double e_x = r.e * r.h * per_reach * r.df;
  const double s_x = r.du + (r.db - r.du) * r.e + (r.b - r.u) * e_x;
  const double s_z = -(r.b - r.u) * r.e * r.h * per_reach;
  d.xx = stretch;
  d.yx = r.dc * r.b + r.c * r.db + s_x * (p.y - r.c) - r.s * r.dc;
  d.yy = r.s;
  d.yz = s_z * (p.y - r.c);
  const double w_q = r.w.slope / frame.blend;
  const double q_x = -frame.top_tilt;
  const double zt_x = q_x + frame.top_tilt * stretch;
  const double z0_x = r.dg + r.dt * r.h - r.t * r.df;
  d.zx = (1.0 - r.w.value) * z0_x + r.w.value * zt_x + w_q * q_x * (r.zt - r.z0);
  d.zz = (1.0 - r.w.value) * r.t + r.w.value + w_q * (r.zt - r.z0);
  return image(*this, r, p);
}

Vec3 AxisMap::with_jacobian(Vec3 p, Jacobian& jacobian) const {
  Derivative d;
  const Vec3 image = with_derivative(p, d);
  jacobian = {{d.xx, 0, 0}, {d.yx, d.yy, d.yz}, {d.zx, 0, d.zz}};
  return image;
}

AxisMap::Influence AxisMap::influence(Vec3 p) const {
  const PointTerms r = terms_at(*this, p);
  Influence i;
  i.first = r.field.first;
  for (std::size_t k = 0; k < 4; ++k) {
    const double n = r.field.value[k];
    i.y_by_bottom[k] = n * (r.c + r.e * (p.y - r.c));
    i.y_by_upper[k] = n * (1.0 - r.e) * (p.y - r.c);
    i.z_by_height[k] = n * (1.0 - r.w.value) * r.h;
  }
  return i;
}

AxisMap identity_map(const AxisFrame& frame) {
  AxisMap map;
  map.frame = frame;
  map.bottom_width = AxisSpline(frame.length, kFieldCoefficients, 1.0);
  map.upper_width = AxisSpline(frame.length, kFieldCoefficients, 1.0);
  map.height = AxisSpline(frame.length, kFieldCoefficients, 1.0);
  return map;
}

}  // namespace lastwright
