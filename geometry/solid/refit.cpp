#include "geometry/solid/refit.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace lastwright {

namespace {
std::size_t at_place(int i) {
  return static_cast<std::size_t>(i);
}

std::vector<double> middles(const Breaks& breaks) {
  std::vector<double> result;
  for (std::size_t i = 0; i + 1 < breaks.at.size(); ++i)
    result.push_back(0.5 * (breaks.at[i] + breaks.at[i + 1]));
  return result;
}

Breaks halved(const Breaks& breaks, const std::vector<bool>& marked) {
  Breaks result;
  for (std::size_t i = 0; i < breaks.at.size(); ++i) {
    result.at.push_back(breaks.at[i]);
    result.multiplicity.push_back(breaks.multiplicity[i]);
    if (i < marked.size() && marked[i]) {
      result.at.push_back(0.5 * (breaks.at[i] + breaks.at[i + 1]));
      result.multiplicity.push_back(1);
    }
  }
  return result;
}

// A surface through the values at the sites of two solvers.
BSplineSurface interpolate(const GrevilleSolver& u, const GrevilleSolver& v, std::vector<Vec3> values) {
  const std::size_t nu = u.sites().size();
  const std::size_t nv = v.sites().size();
  for (std::size_t i = 0; i < nu; ++i) v.solve(&values[i * nv], 1);
  for (std::size_t j = 0; j < nv; ++j) u.solve(&values[j], nv);
  return {u.knots(), v.knots(), std::move(values), {}};
}
}  // namespace

Breaks breaks_of(const KnotVector& knots) {
  Breaks result;
  for (std::size_t i = 0; i < knots.knots.size();) {
    std::size_t end = i;
    while (end < knots.knots.size() && knots.knots[end] == knots.knots[i]) ++end;
    const int continuous = knots.degree - static_cast<int>(end - i);
    result.at.push_back(knots.knots[i]);
    result.multiplicity.push_back(std::clamp(3 - continuous, 1, 3));
    i = end;
  }
  result.multiplicity.front() = 1;
  result.multiplicity.back() = 1;
  return result;
}

KnotVector cubic_knots(const Breaks& breaks) {
  KnotVector result;
  result.degree = 3;
  result.knots.assign(3, breaks.at.front());
  for (std::size_t i = 0; i < breaks.at.size(); ++i) {
    result.knots.insert(result.knots.end(), at_place(breaks.multiplicity[i]), breaks.at[i]);
  }
  result.knots.insert(result.knots.end(), 3, breaks.at.back());
  return result;
}

GrevilleSolver::GrevilleSolver(KnotVector knots) : knots_(std::move(knots)), sites_(knots_.greville()) {
  const int n = knots_.count();
  band_ = knots_.degree;
  const int width = 2 * band_ + 1;
  lower_.assign(at_place(n * width), 0.0);
  std::array<double, kMaxDegree + 1> values{};
  for (int i = 0; i < n; ++i) {
    const int span = knots_.span(sites_[at_place(i)]);
    knots_.functions(sites_[at_place(i)], span, values.data());
    for (int k = 0; k <= knots_.degree; ++k) {
      const int column = span - knots_.degree + k - i + band_;
      if (column >= 0 && column < width) lower_[at_place(i * width + column)] = values[at_place(k)];
    }
  }
  for (int i = 0; i < n; ++i) {
    for (int r = i + 1; r < std::min(n, i + band_ + 1); ++r) {
      double& factor = lower_[at_place(r * width + i - r + band_)];
      factor /= lower_[at_place(i * width + band_)];
      for (int c = i + 1; c < std::min(n, i + band_ + 1); ++c) {
        lower_[at_place(r * width + c - r + band_)] -= factor * lower_[at_place(i * width + c - i + band_)];
      }
    }
  }
}

void GrevilleSolver::solve(Vec3* values, std::size_t stride) const {
  const int n = knots_.count();
  const int width = 2 * band_ + 1;
  for (int i = 0; i < n; ++i) {
    Vec3 sum = values[at_place(i) * stride];
    for (int c = std::max(0, i - band_); c < i; ++c) {
      sum = sum - lower_[at_place(i * width + c - i + band_)] * values[at_place(c) * stride];
    }
    values[at_place(i) * stride] = sum;
  }
  for (int i = n - 1; i >= 0; --i) {
    Vec3 sum = values[at_place(i) * stride];
    for (int c = i + 1; c < std::min(n, i + band_ + 1); ++c) {
      sum = sum - lower_[at_place(i * width + c - i + band_)] * values[at_place(c) * stride];
    }
    values[at_place(i) * stride] = sum / lower_[at_place(i * width + band_)];
  }
}

CurveFit fit_curve(const std::function<Vec3(double)>& exact, Breaks breaks, double tolerance) {
  CurveFit fit;
  for (int round = 0;; ++round) {
    const GrevilleSolver solver(cubic_knots(breaks));
    std::vector<Vec3> values;
    for (double t : solver.sites()) values.push_back(exact(t));
    solver.solve(values.data(), 1);
    fit.curve = {solver.knots(), std::move(values), {}};
    fit.error = 0.0;
    std::vector<bool> marked(breaks.at.size() - 1, false);
    for (std::size_t i = 0; i + 1 < breaks.at.size(); ++i) {
      for (double share : {0.25, 0.5, 0.75}) {
        const double t = breaks.at[i] + share * (breaks.at[i + 1] - breaks.at[i]);
        const double error = distance(exact(t), fit.curve.point(t));
        if (!(error <= tolerance)) marked[i] = true;
        if (!(error <= fit.error)) fit.error = error;
      }
    }
    if (round == 12 || std::find(marked.begin(), marked.end(), true) == marked.end()) return fit;
    breaks = halved(breaks, marked);
  }
}

SurfaceKnots find_surface_knots(const std::function<Vec3(double, double)>& exact, SurfaceKnots knots,
                                double tolerance, int rounds) {
  for (int round = 0; round < rounds; ++round) {
    const GrevilleSolver u(cubic_knots(knots.u));
    const GrevilleSolver v(cubic_knots(knots.v));
    std::vector<Vec3> values;
    values.reserve(u.sites().size() * v.sites().size());
    for (double s : u.sites()) {
      for (double t : v.sites()) values.push_back(exact(s, t));
    }
    const BSplineSurface surface = interpolate(u, v, std::move(values));
    // Tested along u on the sites of v and the other way
    // round, so that each direction answers for its own error.
    std::vector<bool> mark_u(knots.u.at.size() - 1, false);
    std::vector<bool> mark_v(knots.v.at.size() - 1, false);
    const auto off = [&](double s, double t) {
      return !(distance(exact(s, t), surface.point(s, t)) <= tolerance);
    };
    for (std::size_t i = 0; i < mark_u.size(); ++i) {
      for (double share : {0.3, 0.5, 0.7}) {
        const double s = lerp({knots.u.at[i], 0, 0}, {knots.u.at[i + 1], 0, 0}, share).x;
        for (std::size_t j = 0; j < v.sites().size() && !mark_u[i]; ++j) mark_u[i] = off(s, v.sites()[j]);
      }
    }
    for (std::size_t j = 0; j < mark_v.size(); ++j) {
      for (double share : {0.3, 0.5, 0.7}) {
        const double t = lerp({knots.v.at[j], 0, 0}, {knots.v.at[j + 1], 0, 0}, share).x;
        for (std::size_t i = 0; i < u.sites().size() && !mark_v[j]; ++i) mark_v[j] = off(u.sites()[i], t);
      }
    }
    const bool any = std::find(mark_u.begin(), mark_u.end(), true) != mark_u.end() ||
                     std::find(mark_v.begin(), mark_v.end(), true) != mark_v.end();
    if (!any) break;
    knots.u = halved(knots.u, mark_u);
    knots.v = halved(knots.v, mark_v);
  }
  return knots;
}

BSplineSurface fit_surface(const std::function<Vec3(double, double)>& exact, SurfaceKnots start,
                           double tolerance) {
  const SurfaceKnots knots = find_surface_knots(exact, std::move(start), tolerance);
  const GrevilleSolver u(cubic_knots(knots.u));
  const GrevilleSolver v(cubic_knots(knots.v));
  std::vector<Vec3> values;
  values.reserve(u.sites().size() * v.sites().size());
  for (double s : u.sites()) {
    for (double t : v.sites()) values.push_back(exact(s, t));
  }
  return interpolate(u, v, std::move(values));
}

SurfacePlan::SurfacePlan(const BSplineSurface& base, const SurfaceKnots& knots)
    : u_(cubic_knots(knots.u)),
      v_(cubic_knots(knots.v)),
      test_u_(middles(knots.u)),
      test_v_(middles(knots.v)) {
  base_.reserve(u_.sites().size() * v_.sites().size());
  for (double s : u_.sites()) {
    for (double t : v_.sites()) base_.push_back(base.point(s, t));
  }
  test_.reserve(test_u_.size() * test_v_.size());
  for (double s : test_u_) {
    for (double t : test_v_) test_.push_back(base.point(s, t));
  }
}

BSplineSurface SurfacePlan::fit(const std::function<Vec3(Vec3)>& map, double& error) const {
  std::vector<Vec3> values;
  values.reserve(base_.size());
  for (const Vec3& p : base_) values.push_back(map(p));
  BSplineSurface surface = interpolate(u_, v_, std::move(values));
  error = 0.0;
  std::size_t k = 0;
  for (double s : test_u_) {
    for (double t : test_v_) {
      const double off = distance(map(test_[k++]), surface.point(s, t));
      if (!(off <= error)) error = off;
    }
  }
  return surface;
}

}  // namespace lastwright
