#include <algorithm>
#include <array>

#include "geometry/curve/biarc.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

constexpr int kSamples = 16;     // points of a span compared with its biarc
constexpr double kTrust = 0.97;  // of the tolerance: what lies between the samples gets the rest
constexpr double kShortest =
    1e-7;  // of the parameter range: shorter spans end at a cusp and are drawn straight

// One smooth stretch of a curve, taken apart into spans.
class Fit {
 public:
  Fit(const Curve& curve, double tolerance) : curve_(curve), tolerance_(tolerance) {}

  // Span ends in (0, 1], chosen one after the other, each as far on as `limit` allows.
  [[nodiscard]] std::vector<double> greedy(double limit) const {
    std::vector<double> stops;
    double from = 0.0;
    double step = 0.25;
    while (from < 1.0) {
      step = longest_step(from, step, limit);
      from = from + step >= 1.0 - kShortest ? 1.0 : from + step;
      stops.push_back(from);
    }
    return stops;
  }

  // The same number of spans with the smallest common error: no small rest at the end.
  [[nodiscard]] std::vector<double> balanced() const {
    double high = kTrust * tolerance_;
    std::vector<double> best = greedy(high);
    double low = 0.0;
    for (int i = 0; i < 6 && best.size() > 1; ++i) {
      const double middle = low == 0.0 ? 0.5 * high : 0.5 * (low + high);
      std::vector<double> stops = greedy(middle);
      if (stops.size() > best.size()) {
        low = middle;
      } else {
        high = middle;
        best = std::move(stops);
      }
    }
    return best;
  }

  void append(double from, double to, OpenArcPath& path) const {
    const Biarc fit = span(from, to);
    const auto add = [&path](const ArcSegment& s) {
      path.vertices.back().bulge = s.bulge;
      path.vertices.push_back({s.b, 0.0});
    };
    if (error(fit, from, to) > tolerance_) return add({fit.first.a, fit.second.b, 0.0});  // at a cusp only
    // One arc is enough where it arrives in the right direction by itself.
    const ArcSegment whole = arc_from_tangent(fit.first.a, fit.first.tangent_at(0.0), fit.second.b);
    if (norm(whole.tangent_at(1.0) - fit.second.tangent_at(1.0)) < 1e-10) return add(whole);
    add(fit.first);
    add(fit.second);
  }

 private:
  [[nodiscard]] Biarc span(double from, double to) const {
    return biarc(point_at(curve_, from), tangent_at(curve_, from), point_at(curve_, to),
                 tangent_at(curve_, to));
  }

  [[nodiscard]] double error(const Biarc& fit, double from, double to) const {
    std::array<Vec2, kSamples> points;
    for (int i = 0; i < kSamples; ++i) {
      points[static_cast<std::size_t>(i)] = point_at(curve_, from + (to - from) * (i + 0.5) / kSamples);
    }
    // Arcs that run backward enclose more than the curve does: never a fit.
    if (std::abs(fit.first.bulge) > 1.0 || std::abs(fit.second.bulge) > 1.0) return 1e300;
    return deviation(fit, points);
  }

  [[nodiscard]] double longest_step(double from, double guess, double limit) const {
    const double rest = 1.0 - from;
    double fits = 0.0;
    double fails = 2.0;  // beyond any step
    double step = std::min(guess, rest);
    for (int i = 0; i < 40; ++i) {
      const double e = error(span(from, from + step), from, from + step);
      if (e <= limit) {
        fits = step;
        if (step >= rest || e > 0.9 * limit) break;
      } else {
        fails = step;
        if (step < kShortest) return step;
      }
      if (fits > 0.97 * fails) break;
      // The error of a biarc grows with the third power of its length.
      double next = step * std::clamp(std::cbrt(0.95 * limit / std::max(e, 1e-300)), 0.1, 4.0);
      if (next <= fits || next >= fails) next = 0.5 * (fits + std::min(fails, rest));
      step = std::min(next, rest);
    }
    return fits > 0.0 ? fits : step;
  }

  const Curve& curve_;
  double tolerance_;
};

// Knots where the direction changes: there the tangent must not be smoothed.
std::vector<Curve> parts_between_corners(const Curve& curve) {
  std::vector<Curve> parts;
  Curve rest = curve;
  double done = 0.0;
  for (double t : breaks_of(curve)) {
    const double local = (t - done) / (1.0 - done);
    Curve before = part_of(rest, 0.0, local);
    Curve after = part_of(rest, local, 1.0);
    if (norm(tangent_at(before, 1.0) - tangent_at(after, 0.0)) < 1e-7) continue;
    parts.push_back(std::move(before));
    rest = std::move(after);
    done = t;
  }
  parts.push_back(std::move(rest));
  return parts;
}

void append_fit(const Curve& curve, double tolerance, OpenArcPath& path) {
  if (const Arc* arc = std::get_if<Arc>(&curve)) {
    path.vertices.back().bulge = arc->bulge;
    path.vertices.push_back({arc->b, 0.0});
  } else if (const Line* line = std::get_if<Line>(&curve)) {
    path.vertices.push_back({line->b, 0.0});
  } else {
    for (const Curve& part : parts_between_corners(curve)) {
      const Fit fit(part, tolerance);
      double from = 0.0;
      for (double to : fit.balanced()) {
        fit.append(from, to, path);
        from = to;
      }
    }
    path.vertices.back().at = end_of(curve);
  }
}

OpenArcPath fit_all(std::span<const Curve> curves, Millimetres tolerance) {
  OpenArcPath path{{{start_of(curves.front()), 0.0}}};
  for (const Curve& curve : curves) append_fit(curve, tolerance.value(), path);
  return path;
}

}  // namespace

OpenArcPath arc_fit(const Curve& curve, Millimetres tolerance) {
  return fit_all({&curve, 1}, tolerance);
}

OpenArcPath arc_fit(const OpenChain& chain, Millimetres tolerance) {
  return fit_all(chain.curves(), tolerance);
}

ClosedArcPath arc_fit(const ClosedOutline& outline, Millimetres tolerance) {
  OpenArcPath path = fit_all(outline.curves(), tolerance);
  path.vertices.pop_back();  // the last end is the first start
  return {std::move(path.vertices)};
}

}  // namespace lastwright
