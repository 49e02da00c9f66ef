#include "geometry/solid/bspline.hpp"

#include <algorithm>
#include <array>

namespace lastwright {

namespace {
using Values = std::array<double, kMaxDegree + 1>;

std::size_t index(int i) {
  return static_cast<std::size_t>(i);
}

// The triangular recurrence of Cox and de Boor, in place. `lower`, where it
// is wanted, takes the functions of one degree less on the way.
void cox_de_boor(const double* knot, double t, int degree, double* values, double* lower) {
  Values left;   // NOLINT(*-member-init): written before they are read
  Values right;  // NOLINT(*-member-init)
  values[0] = 1.0;
  for (int j = 1; j <= degree; ++j) {
    if (lower != nullptr && j == degree) std::copy(values, values + degree, lower);
    left[index(j)] = t - knot[1 - j];
    right[index(j)] = knot[j] - t;
    double saved = 0.0;
    for (int r = 0; r < j; ++r) {
      const double part = values[r] / (right[index(r + 1)] + left[index(j - r)]);
      values[r] = saved + right[index(r + 1)] * part;
      saved = left[index(j - r)] * part;
    }
    values[j] = saved;
  }
}

// N'_{i,p} = p (N_{i,p-1} / (k_{i+p} - k_i) - N_{i+1,p-1} / (k_{i+p+1} - k_{i+1}))
void with_slopes(const KnotVector& of, double t, int span, double* values, double* slopes) {
  const int degree = of.degree;
  Values lower;  // NOLINT(*-member-init): as many as the degree are written
  const double* knot = of.knots.data() + span;
  cox_de_boor(knot, t, degree, values, lower.data());
  for (int r = 0; r <= degree; ++r) {
    double slope = 0.0;
    if (r > 0) slope += lower[index(r - 1)] / (knot[r] - knot[r - degree]);
    if (r < degree) slope -= lower[index(r)] / (knot[r + 1] - knot[r + 1 - degree]);
    slopes[r] = degree * slope;
  }
}

// As with_slopes does it for three, written out: the same steps in the same order.
struct Cubic {
  std::array<double, 4> value;
  std::array<double, 4> slope;
};
[[gnu::always_inline]] inline Cubic cubic(const double* knot, double t) {
  const double left1 = t - knot[0];
  const double left2 = t - knot[-1];
  const double left3 = t - knot[-2];
  const double right1 = knot[1] - t;
  const double right2 = knot[2] - t;
  const double right3 = knot[3] - t;
  double part = 1.0 / (right1 + left1);
  const double one0 = 0.0 + right1 * part;
  const double one1 = left1 * part;
  part = one0 / (right1 + left2);
  const double two0 = 0.0 + right1 * part;
  double saved = left2 * part;
  part = one1 / (right2 + left1);
  const double two1 = saved + right2 * part;
  const double two2 = left1 * part;
  Cubic c;  // NOLINT(*-member-init)
  part = two0 / (right1 + left3);
  c.value[0] = 0.0 + right1 * part;
  saved = left3 * part;
  part = two1 / (right2 + left2);
  c.value[1] = saved + right2 * part;
  saved = left2 * part;
  part = two2 / (right3 + left1);
  c.value[2] = saved + right3 * part;
  c.value[3] = left1 * part;
  const double rise0 = two0 / (knot[1] - knot[-2]);
  const double rise1 = two1 / (knot[2] - knot[-1]);
  const double rise2 = two2 / (knot[3] - knot[0]);
  c.slope[0] = 3 * (0.0 - rise0);
  c.slope[1] = 3 * (0.0 + rise0 - rise1);
  c.slope[2] = 3 * (0.0 + rise1 - rise2);
  c.slope[3] = 3 * (0.0 + rise2);
  return c;
}

// Most surfaces are cubic and not rational. The same sums in the same order as for any other.
SurfacePoint cubic_at(const BSplineSurface& of, double at_u, double at_v) {
  const int su = of.u.span(at_u);
  const int sv = of.v.span(at_v);
  const Cubic along_u = cubic(of.u.knots.data() + su, at_u);
  const Cubic along_v = cubic(of.v.knots.data() + sv, at_v);
  const auto& nv = along_v.value;
  const auto& dv = along_v.slope;
  const int across = of.v.count();
  const Vec3* row = of.poles.data() + index((su - 3) * across + sv - 3);
  SurfacePoint s;
  for (std::size_t i = 0; i < 4; ++i, row += across) {
    const Vec3 sum = Vec3{} + nv[0] * row[0] + nv[1] * row[1] + nv[2] * row[2] + nv[3] * row[3];
    const Vec3 slope = Vec3{} + dv[0] * row[0] + dv[1] * row[1] + dv[2] * row[2] + dv[3] * row[3];
    s.p += along_u.value[i] * sum;
    s.du += along_u.slope[i] * sum;
    s.dv += along_u.value[i] * slope;
  }
  return s;
}
}  // namespace

int KnotVector::span(double t) const {
  const int n = count();
  if (t >= knots[index(n)]) {
    int i = n - 1;
    while (i > degree && knots[index(i)] >= knots[index(i + 1)]) --i;
    return i;
  }
  if (t <= knots[index(degree)]) {
    int i = degree;
    while (i < n - 1 && knots[index(i + 1)] <= knots[index(i)]) ++i;
    return i;
  }
  // The last that is not above t, by halves without a jump.
  const double* from = knots.data() + degree;
  for (int left = n - degree; left > 1;) {
    const int half = left / 2;
    from = from[half] <= t ? from + half : from;
    left -= half;
  }
  return static_cast<int>(from - knots.data());
}

void KnotVector::functions(double t, int span, double* values) const {
  if (degree == 3) {
    const Cubic c = cubic(knots.data() + span, t);
    std::copy(c.value.begin(), c.value.end(), values);
  } else {
    cox_de_boor(knots.data() + span, t, degree, values, nullptr);
  }
}

void KnotVector::functions_and_slopes(double t, int span, double* values, double* slopes) const {
  if (degree == 3) {
    const Cubic c = cubic(knots.data() + span, t);
    std::copy(c.value.begin(), c.value.end(), values);
    std::copy(c.slope.begin(), c.slope.end(), slopes);
  } else {
    with_slopes(*this, t, span, values, slopes);
  }
}

std::vector<double> KnotVector::greville() const {
  std::vector<double> sites;
  for (int i = 0; i < count(); ++i) {
    double sum = 0.0;
    for (int k = 1; k <= degree; ++k) sum += knots[index(i + k)];
    sites.push_back(std::clamp(sum / degree, low(), high()));
  }
  return sites;
}

Vec3 BSplineCurve3::point(double t) const {
  Vec3 point;
  Vec3 slope;
  point_and_slope(t, point, slope);
  return point;
}

void BSplineCurve3::point_and_slope(double t, Vec3& point, Vec3& slope) const {
  Values n;
  Values d;
  const int s = knots.span(t);
  knots.functions_and_slopes(t, s, n.data(), d.data());
  Vec3 p;
  Vec3 dp;
  double w = 0.0;
  double dw = 0.0;
  for (int r = 0; r <= knots.degree; ++r) {
    const std::size_t i = index(s - knots.degree + r);
    const double weight = weights.empty() ? 1.0 : weights[i];
    p += n[index(r)] * weight * poles[i];
    dp += d[index(r)] * weight * poles[i];
    w += n[index(r)] * weight;
    dw += d[index(r)] * weight;
  }
  if (weights.empty()) {
    point = p;
    slope = dp;
  } else {
    point = p / w;
    slope = (dp - dw * point) / w;
  }
}

Vec3 BSplineSurface::point(double at_u, double at_v) const {
  if (!weights.empty()) return at(at_u, at_v).p;
  const int su = u.span(at_u);
  const int sv = v.span(at_v);
  if (u.degree == 3 && v.degree == 3) {
    const Cubic along_u = cubic(u.knots.data() + su, at_u);
    const Cubic along_v = cubic(v.knots.data() + sv, at_v);
    const auto& nv = along_v.value;
    const int across = v.count();
    const Vec3* row = poles.data() + index((su - 3) * across + sv - 3);
    Vec3 p;
    for (std::size_t i = 0; i < 4; ++i, row += across) {
      p += along_u.value[i] * (Vec3{} + nv[0] * row[0] + nv[1] * row[1] + nv[2] * row[2] + nv[3] * row[3]);
    }
    return p;
  }
  Values nu;
  Values nv;
  u.functions(at_u, su, nu.data());
  v.functions(at_v, sv, nv.data());
  Vec3 p;
  for (int i = 0; i <= u.degree; ++i) {
    const Vec3* row = &poles[index((su - u.degree + i) * v.count() + sv - v.degree)];
    Vec3 sum;
    for (int j = 0; j <= v.degree; ++j) sum += nv[index(j)] * row[j];
    p += nu[index(i)] * sum;
  }
  return p;
}

SurfacePoint BSplineSurface::at(double at_u, double at_v) const {
  if (u.degree == 3 && v.degree == 3 && weights.empty()) return cubic_at(*this, at_u, at_v);
  Values nu;
  Values du;
  Values nv;
  Values dv;
  const int su = u.span(at_u);
  const int sv = v.span(at_v);
  u.functions_and_slopes(at_u, su, nu.data(), du.data());
  v.functions_and_slopes(at_v, sv, nv.data(), dv.data());
  SurfacePoint s;
  double w = 0.0;
  double wu = 0.0;
  double wv = 0.0;
  for (int i = 0; i <= u.degree; ++i) {
    const std::size_t r = index(i);
    const std::size_t start = index((su - u.degree + i) * v.count() + sv - v.degree);
    Vec3 sum;
    Vec3 slope;
    if (weights.empty()) {
      for (int j = 0; j <= v.degree; ++j) {
        sum += nv[index(j)] * poles[start + index(j)];
        slope += dv[index(j)] * poles[start + index(j)];
      }
    } else {
      double weight_sum = 0.0;
      double weight_slope = 0.0;
      for (int j = 0; j <= v.degree; ++j) {
        const std::size_t k = start + index(j);
        sum += nv[index(j)] * weights[k] * poles[k];
        slope += dv[index(j)] * weights[k] * poles[k];
        weight_sum += nv[index(j)] * weights[k];
        weight_slope += dv[index(j)] * weights[k];
      }
      w += nu[r] * weight_sum;
      wu += du[r] * weight_sum;
      wv += nu[r] * weight_slope;
    }
    s.p += nu[r] * sum;
    s.du += du[r] * sum;
    s.dv += nu[r] * slope;
  }
  if (!weights.empty()) {
    s.p = s.p / w;
    s.du = (s.du - wu * s.p) / w;
    s.dv = (s.dv - wv * s.p) / w;
  }
  return s;
}

KnotVector clamped_knots(int degree, const std::vector<double>& breaks) {
  KnotVector result;
  result.degree = degree;
  result.knots.assign(index(degree), breaks.front());
  result.knots.insert(result.knots.end(), breaks.begin(), breaks.end());
  result.knots.insert(result.knots.end(), index(degree), breaks.back());
  return result;
}

}  // namespace lastwright
