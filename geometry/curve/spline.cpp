#include "geometry/curve/spline.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace lastwright {

namespace {

constexpr int kHighestDegree = 15;

// Poles of a polynomial spline need no weight: what they give is the same to the last bit.
Vec2 part_way(Vec2 a, Vec2 b, double t) {
  return {a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)};
}
HomogeneousPole part_way(const HomogeneousPole& a, const HomogeneousPole& b, double t) {
  return blend(a, b, t);
}
Vec2 rise(Vec2 a, Vec2 b, double f) {
  return {f * (b.x - a.x), f * (b.y - a.y)};
}
HomogeneousPole rise(const HomogeneousPole& a, const HomogeneousPole& b, double f) {
  return {f * (b.x - a.x), f * (b.y - a.y), f * (b.w - a.w)};
}

// The poles that act in the span knots[span] <= t < knots[span + 1] of a spline of this degree, kMost at
// most.
template <class Pole, std::size_t kMost>
struct SpanPoles {
  const double* knots = nullptr;
  std::size_t span = 0;
  std::size_t degree = 0;
  std::array<Pole, kMost + 1> poles;

  // de Boor's triangle.
  [[nodiscard]] Pole at(double t) const {
    std::array<Pole, kMost + 1> work = poles;
    for (std::size_t level = 1; level <= degree; ++level) {
      for (std::size_t j = degree; j >= level; --j) {
        const double low = knots[span - degree + j];
        const double high = knots[span + 1 + j - level];
        work[j] = part_way(work[j - 1], work[j], (t - low) / (high - low));
      }
    }
    return work[degree];
  }
  // Those of the derivative, one degree lower, in the same span.
  void differentiate() {
    for (std::size_t j = 0; j < degree; ++j) {
      const double f = static_cast<double>(degree) / (knots[span + 1 + j] - knots[span + 1 + j - degree]);
      poles[j] = rise(poles[j], poles[j + 1], f);
    }
    --degree;
  }
};

// The point, the first and the second derivative, as many as are asked for; the others are zero.
template <class Pole, std::size_t kMost>
std::array<Pole, 3> derivatives_in(SpanPoles<Pole, kMost>& act, double t, int derivatives) {
  std::array<Pole, 3> all{};
  all[0] = act.at(t);
  for (std::size_t k = 1; k < 3; ++k) {
    if (static_cast<int>(k) > derivatives || act.degree == 0) {
      all[k] = rise(all[0], all[0], 0.0);
      continue;
    }
    act.differentiate();
    all[k] = act.at(t);
  }
  return all;
}

template <std::size_t kMost>
CurveJet polynomial_jet(const Spline& spline, std::size_t span, double t, int derivatives) {
  SpanPoles<Vec2, kMost> act{spline.knots().data(), span, static_cast<std::size_t>(spline.degree()), {}};
  for (std::size_t j = 0; j <= act.degree; ++j) act.poles[j] = spline.poles()[span - act.degree + j];
  const auto [value, first, second] = derivatives_in(act, t, derivatives);
  return {value, first, second};
}

CurveJet rational_jet(const Spline& spline, std::size_t span, double t, int derivatives) {
  SpanPoles<HomogeneousPole, kHighestDegree> act{
      spline.knots().data(), span, static_cast<std::size_t>(spline.degree()), {}};
  for (std::size_t j = 0; j <= act.degree; ++j) {
    const Vec2 at = spline.poles()[span - act.degree + j];
    const double w = spline.weights()[span - act.degree + j];
    act.poles[j] = {at.x * w, at.y * w, w};
  }
  const auto [value, first, second] = derivatives_in(act, t, derivatives);
  // C = A / w, so A' = w' C + w C' and A'' = w'' C + 2 w' C' + w C''.
  const Vec2 c = value.point();
  const Vec2 d = (Vec2{first.x, first.y} - first.w * c) / value.w;
  return {c, d, (Vec2{second.x, second.y} - second.w * c - 2.0 * first.w * d) / value.w};
}

}  // namespace

Result<Spline> make_spline(int degree, std::vector<double> knots, std::vector<Vec2> poles,
                           std::vector<double> weights) {
  if (degree < 1 || degree > kHighestDegree) {
    return bad_value(fmt::format("a spline of degree {}: degrees 1 to {} are read", degree, kHighestDegree));
  }
  const auto p = static_cast<std::size_t>(degree);
  const std::size_t n = poles.size();
  if (n < p + 1) return bad_value(fmt::format("a spline of degree {} with only {} poles", degree, n));
  if (knots.size() != n + p + 1) {
    return bad_value(fmt::format("a spline of degree {} with {} poles needs {} knots, found {}", degree, n,
                                 n + p + 1, knots.size()));
  }
  if (!weights.empty() && weights.size() != n) {
    return bad_value(fmt::format("a spline with {} poles has {} weights", n, weights.size()));
  }
  for (const Vec2& pole : poles) {
    if (!is_finite(pole)) return bad_value("a spline pole is not a finite number");
  }
  for (double w : weights) {
    if (!std::isfinite(w) || w <= 0.0)
      return bad_value(fmt::format("a spline weight of {}: weights are above 0", w));
  }
  for (std::size_t i = 0; i < knots.size(); ++i) {
    if (!std::isfinite(knots[i])) return bad_value("a spline knot is not a finite number");
    if (i > 0 && knots[i] < knots[i - 1]) {
      return bad_value(
          fmt::format("spline knot {} is {}, below the one before it, {}", i + 1, knots[i], knots[i - 1]));
    }
  }
  const double from = knots[p];
  const double to = knots[n];
  if (!(from < to)) return bad_value("all knots of a spline are the same: it has no length");
  for (std::size_t i = 0, run = 1; i + 1 < knots.size(); ++i) {
    run = knots[i] == knots[i + 1] ? run + 1 : 1;
    const bool inner = knots[i] > from && knots[i] < to;
    if (run > p + (inner ? 0 : 1)) {
      return bad_value(
          fmt::format("spline knot {} stands {} times, more than degree {} allows", knots[i], run, degree));
    }
  }

  const bool clamped = knots.front() == from && knots.back() == to;
  Spline spline;
  spline.degree_ = degree;
  if (!clamped) {
    KnottedPoles loose = knotted_poles(degree, std::move(knots), poles, weights);
    saturate_knot(loose, from);
    saturate_knot(loose, to);
    const KnottedPoles tight = between_knots(loose, from, to);
    knots = tight.knots;
    poles.clear();
    for (const HomogeneousPole& pole : tight.poles) poles.push_back(pole.point());
    if (!weights.empty()) {
      weights.clear();
      for (const HomogeneousPole& pole : tight.poles) weights.push_back(pole.w);
    }
  } else if (from != 0.0 || to != 1.0) {
    for (double& u : knots) u = u == to ? 1.0 : (u - from) / (to - from);
  }
  spline.knots_ = std::move(knots);
  spline.poles_ = std::move(poles);
  spline.weights_ = std::move(weights);
  return spline;
}

CurveJet jet_at(const Spline& spline, double t, int derivatives) {
  t = std::clamp(t, 0.0, 1.0);
  const std::size_t span = span_at(spline, t);
  if (!spline.weights().empty()) return rational_jet(spline, span, t, derivatives);
  return spline.degree() <= 3 ? polynomial_jet<3>(spline, span, t, derivatives)
                              : polynomial_jet<kHighestDegree>(spline, span, t, derivatives);
}

std::size_t span_at(const Spline& spline, double t) {
  const std::vector<double>& knots = spline.knots();
  const auto after = std::upper_bound(knots.begin(), knots.end(), t) - knots.begin();
  return std::clamp(static_cast<std::size_t>(after - 1), static_cast<std::size_t>(spline.degree()),
                    spline.poles().size() - 1);
}

Spline reversed(const Spline& spline) {
  std::vector<double> knots;
  for (auto u = spline.knots().rbegin(); u != spline.knots().rend(); ++u) knots.push_back(1.0 - *u);
  std::vector<Vec2> poles(spline.poles().rbegin(), spline.poles().rend());
  std::vector<double> weights(spline.weights().rbegin(), spline.weights().rend());
  Result<Spline> back = make_spline(spline.degree(), std::move(knots), std::move(poles), std::move(weights));
  invariant(back.ok(), "a reversed spline is a spline");
  return *std::move(back);
}

Spline part_of(const Spline& spline, double t0, double t1) {
  invariant(0.0 <= t0 && t0 < t1 && t1 <= 1.0, "a part of a curve runs forward inside it");
  KnottedPoles s = knotted_poles(spline);
  if (t0 > 0.0) saturate_knot(s, t0);
  if (t1 < 1.0) saturate_knot(s, t1);
  return to_spline(between_knots(s, t0, t1));
}

std::vector<double> interior_knots(const Spline& spline) {
  std::vector<double> inner;
  for (double u : spline.knots()) {
    if (u > 0.0 && u < 1.0 && (inner.empty() || u > inner.back())) inner.push_back(u);
  }
  return inner;
}

std::vector<BezierPiece> bezier_pieces(const Spline& spline) {
  KnottedPoles s = knotted_poles(spline);
  for (double u : interior_knots(spline)) saturate_knot(s, u);
  const std::ptrdiff_t p = s.degree;
  std::vector<BezierPiece> pieces;
  for (std::ptrdiff_t i = 0; i + p < static_cast<std::ptrdiff_t>(s.poles.size()); i += p) {
    pieces.push_back({{s.poles.begin() + i, s.poles.begin() + i + p + 1}});
  }
  return pieces;
}

std::pair<BezierPiece, BezierPiece> halves(const BezierPiece& piece) {
  const std::size_t n = piece.poles.size();
  BezierPiece left = piece;
  BezierPiece right = piece;
  for (std::size_t level = 1; level < n; ++level) {
    for (std::size_t j = 0; j + level < n; ++j)
      right.poles[j] = blend(right.poles[j], right.poles[j + 1], 0.5);
    left.poles[level] = right.poles[0];
  }
  return {std::move(left), std::move(right)};
}

}  // namespace lastwright
