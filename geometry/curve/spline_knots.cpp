#include "geometry/curve/spline_knots.hpp"

#include <algorithm>

namespace lastwright {

namespace {

std::ptrdiff_t first_of(const std::vector<double>& knots, double t) {
  return std::lower_bound(knots.begin(), knots.end(), t) - knots.begin();
}
std::ptrdiff_t past_last_of(const std::vector<double>& knots, double t) {
  return std::upper_bound(knots.begin(), knots.end(), t) - knots.begin();
}

void insert_once(KnottedPoles& s, double t) {
  const std::ptrdiff_t p = s.degree;
  const std::ptrdiff_t span = past_last_of(s.knots, t) - 1;  // knots[span] <= t < knots[span + 1]
  invariant(span >= p && span + 1 < static_cast<std::ptrdiff_t>(s.knots.size()), "knot inserted outside");
  std::vector<HomogeneousPole> poles(s.poles.begin(), s.poles.begin() + (span - p + 1));
  poles.reserve(s.poles.size() + 1);
  // Where t is the last knot of the domain and stands there more than once, the span lies past the last pole.
  const std::ptrdiff_t last = std::min(span, static_cast<std::ptrdiff_t>(s.poles.size()));
  for (std::ptrdiff_t i = span - p + 1; i <= last; ++i) {
    const auto k = static_cast<std::size_t>(i);
    const double low = s.knots[k];
    const double high = s.knots[k + static_cast<std::size_t>(p)];
    // Past a run of knots at t the pole only moves up one place; there may be none of that index yet.
    poles.push_back(low >= t ? s.poles[k - 1] : blend(s.poles[k - 1], s.poles[k], (t - low) / (high - low)));
  }
  poles.insert(poles.end(), s.poles.begin() + last, s.poles.end());
  s.poles = std::move(poles);
  s.knots.insert(s.knots.begin() + span + 1, t);
}

}  // namespace

KnottedPoles knotted_poles(int degree, std::vector<double> knots, const std::vector<Vec2>& poles,
                           const std::vector<double>& weights) {
  KnottedPoles s{degree, !weights.empty(), std::move(knots), {}};
  s.poles.reserve(poles.size());
  for (std::size_t i = 0; i < poles.size(); ++i) {
    const double w = weights.empty() ? 1.0 : weights[i];
    s.poles.push_back({poles[i].x * w, poles[i].y * w, w});
  }
  return s;
}

KnottedPoles knotted_poles(const Spline& spline) {
  return knotted_poles(spline.degree(), spline.knots(), spline.poles(), spline.weights());
}

void saturate_knot(KnottedPoles& spline, double t) {
  while (past_last_of(spline.knots, t) - first_of(spline.knots, t) < spline.degree) insert_once(spline, t);
}

KnottedPoles between_knots(const KnottedPoles& spline, double from, double to) {
  const std::ptrdiff_t p = spline.degree;
  // The pole whose inner knots are all `from` lies on the curve there; so does the one of `to`.
  const std::ptrdiff_t start = past_last_of(spline.knots, from) - p;  // index of the first knot kept
  const std::ptrdiff_t stop = first_of(spline.knots, to) + p;         // one past the last knot kept
  KnottedPoles part{spline.degree, spline.rational, {}, {}};
  part.poles.assign(spline.poles.begin() + (start - 1), spline.poles.begin() + (stop - p));
  part.knots.reserve(static_cast<std::size_t>(stop - start + 2));
  part.knots.push_back(0.0);
  for (std::ptrdiff_t i = start; i < stop; ++i) {
    const double u = spline.knots[static_cast<std::size_t>(i)];
    part.knots.push_back(u <= from ? 0.0 : u >= to ? 1.0 : (u - from) / (to - from));
  }
  part.knots.push_back(1.0);
  return part;
}

Spline to_spline(const KnottedPoles& clamped) {
  std::vector<Vec2> poles;
  std::vector<double> weights;
  poles.reserve(clamped.poles.size());
  for (const HomogeneousPole& pole : clamped.poles) {
    poles.push_back(clamped.rational ? pole.point() : Vec2{pole.x, pole.y});
    if (clamped.rational) weights.push_back(pole.w);
  }
  Result<Spline> spline = make_spline(clamped.degree, clamped.knots, std::move(poles), std::move(weights));
  invariant(spline.ok(), "a part of a spline is a spline");
  return *std::move(spline);
}

}  // namespace lastwright
