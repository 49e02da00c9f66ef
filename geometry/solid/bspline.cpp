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
// is wanted, takes the functions of one degree less on the way. A degree
// that is known when this is compiled is unrolled: most surfaces are cubic.
template <int known>
void cox_de_boor(const double* knot, double t, int any_degree, double* values, double* lower) {
  const int degree = known > 0 ? known : any_degree;
  // Written before they are read.
  std::array<double, (known > 0 ? known : kMaxDegree) + 1> left;   // NOLINT(*-member-init)
  std::array<double, (known > 0 ? known : kMaxDegree) + 1> right;  // NOLINT(*-member-init)
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

void cox_de_boor(const KnotVector& of, double t, int span, double* values, double* lower) {
  const double* knot = of.knots.data() + span;
  if (of.degree == 3) {
    cox_de_boor<3>(knot, t, 3, values, lower);
  } else {
    cox_de_boor<0>(knot, t, of.degree, values, lower);
  }
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
  const auto after = std::upper_bound(knots.begin() + degree, knots.begin() + n + 1, t);
  return static_cast<int>(after - knots.begin()) - 1;
}

void KnotVector::functions(double t, int span, double* values) const {
  cox_de_boor(*this, t, span, values, nullptr);
}

void KnotVector::functions_and_slopes(double t, int span, double* values, double* slopes) const {
  Values lower;  // NOLINT(*-member-init): as many as the degree are written
  cox_de_boor(*this, t, span, values, lower.data());
  // N'_{i,p} = p (N_{i,p-1} / (k_{i+p} - k_i) - N_{i+1,p-1} / (k_{i+p+1} - k_{i+1}))
  for (int r = 0; r <= degree; ++r) {
    const int i = span - degree + r;
    double slope = 0.0;
    if (r > 0) slope += lower[index(r - 1)] / (knots[index(i + degree)] - knots[index(i)]);
    if (r < degree) slope -= lower[index(r)] / (knots[index(i + degree + 1)] - knots[index(i + 1)]);
    slopes[r] = degree * slope;
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
  Values nu;
  Values nv;
  const int su = u.span(at_u);
  const int sv = v.span(at_v);
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
