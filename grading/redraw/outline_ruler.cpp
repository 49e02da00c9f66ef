#include "grading/redraw/outline_ruler.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "geometry/curve/curve_measure.hpp"
#include "geometry/curve/nearest.hpp"
#include "geometry/tolerance.hpp"
#include "geometry/units.hpp"

namespace lastwright {

namespace {

constexpr double kLook = 1.0;  // mm to either side: short chords of a curve are not taken for corners
constexpr double kCornerDegrees = 8.0;  // that an outline turns there at least
constexpr double kNoBreak = 1e-7;       // radians: what a drawing states in decimals breaks by more

double from_segment(Vec2 a, Vec2 b, Vec2 p, double& along) {
  const Vec2 d = b - a;
  const double square = dot(d, d);
  along = square > 0.0 ? std::clamp(dot(p - a, d) / square, 0.0, 1.0) : 0.0;
  return distance(a + along * d, p);
}

}  // namespace

OutlineRuler::OutlineRuler(std::vector<Curve> curves) : curves_(std::move(curves)) {
  std::vector<std::size_t> starts;
  for (std::size_t i = 0; i < curves_.size(); ++i) {
    starts.push_back(points_.size());
    const std::vector<Vec2> flat = flattened(curves_[i], tolerance::kOutlineChord);
    for (std::size_t k = 0; k + 1 < flat.size(); ++k) {
      points_.push_back(flat[k]);
      curve_of_.push_back(i);
    }
  }
  points_.push_back(points_.front());
  reached_.push_back(0.0);
  for (std::size_t k = 0; k + 1 < points_.size(); ++k)
    reached_.push_back(reached_.back() + distance(points_[k], points_[k + 1]));
  for (std::size_t i = 0; i < curves_.size(); ++i) {
    Vertex vertex{start_of(curves_[i]), reached_[starts[i]], 0.0, false};
    vertex.turn = turn(vertex.s);
    const Curve& before = curves_[(i + curves_.size() - 1) % curves_.size()];
    const double breaks = std::abs(angle_between(tangent_at(before, 1.0), tangent_at(curves_[i], 0.0)));
    vertex.corner = breaks > tolerance::kCorner.value() && std::abs(vertex.turn) >= kCornerDegrees;
    vertex.smooth = breaks <= kNoBreak;
    vertices_.push_back(vertex);
  }
}

Vec2 OutlineRuler::at(double s) const {
  s = std::fmod(s, length());
  if (s < 0.0) s += length();
  const auto after = std::upper_bound(reached_.begin(), reached_.end(), s);
  const auto i = std::min<std::size_t>(
      static_cast<std::size_t>(std::max<std::ptrdiff_t>(after - reached_.begin() - 1, 0)),
      points_.size() - 2);
  const double chord = reached_[i + 1] - reached_[i];
  const double t = chord > 0.0 ? (s - reached_[i]) / chord : 0.0;
  return points_[i] + t * (points_[i + 1] - points_[i]);
}

OutlineRuler::Foot OutlineRuler::nearest(Vec2 p) const {
  std::size_t best = 0;
  double along = 0.0;
  double least = from_segment(points_[0], points_[1], p, along);
  for (std::size_t i = 1; i + 1 < points_.size(); ++i) {
    double here = 0.0;
    const double off = from_segment(points_[i], points_[i + 1], p, here);
    if (off >= least) continue;
    least = off;
    best = i;
    along = here;
  }
  const NearestPoint exact = lastwright::nearest(curves_[curve_of_[best]], p);
  return {exact.at, exact.distance, reached_[best] + along * (reached_[best + 1] - reached_[best]),
          curve_of_[best], exact.t};
}

double OutlineRuler::onward(double from, double to) const {
  const double on = std::fmod(to - from, length());
  return on < 0.0 ? on + length() : on;
}

double OutlineRuler::turn(double s) const {
  const double look = std::min(kLook, length() / 20.0);
  const Vec2 here = at(s);
  return to_degrees(Radians(angle_between(here - at(s - look), at(s + look) - here)));
}

std::vector<Vec2> OutlineRuler::samples(std::size_t count) const {
  std::vector<Vec2> places;
  for (std::size_t i = 0; i < count; ++i)
    places.push_back(at(length() * static_cast<double>(i) / static_cast<double>(count)));
  const std::size_t step = 1 + vertices_.size() / (count + 1);
  for (std::size_t i = 0; i < vertices_.size(); i += step) places.push_back(vertices_[i].at);
  return places;
}

}  // namespace lastwright
