#include <fmt/format.h>

#include <numbers>

#include "geometry/curve/curve.hpp"

namespace lastwright {

// A conic arc of less than a half turn is one rational quadratic: end points, the crossing of the end
// tangents, and cos(half the turn) as its weight. Longer arcs are several, joined at double knots.
Result<Spline> ellipse_arc(Vec2 centre, Vec2 major, double ratio, Radians start, Radians end) {
  const double from = start.value();
  const double turn = end.value() - from;
  constexpr double kFull = 2.0 * std::numbers::pi;  // a full turn
  if (!is_finite(centre) || !is_finite(major) || !std::isfinite(from) || !std::isfinite(turn)) {
    return bad_value("an ellipse with a number that is not finite");
  }
  if (norm(major) <= 0.0 || !(ratio > 0.0) || !std::isfinite(ratio)) {
    return bad_value(
        fmt::format("an ellipse of half axis {} and axis ratio {}: both are above 0", norm(major), ratio));
  }
  if (turn <= 0.0 || turn > kFull * (1.0 + 1e-9)) {
    return bad_value(
        fmt::format("an ellipse arc that turns by {} rad: above 0 and at most a full turn", turn));
  }

  const Vec2 minor = ratio * left_of(major);
  const auto at = [&](double u, double reach) {
    return centre + reach * (std::cos(u) * major + std::sin(u) * minor);
  };
  const int parts = std::max(1, static_cast<int>(std::ceil(turn / (0.5 * std::numbers::pi) - 1e-9)));
  const double step = turn / parts;
  const double weight = std::cos(0.5 * step);
  std::vector<double> knots{0.0, 0.0, 0.0};
  std::vector<Vec2> poles{at(from, 1.0)};
  std::vector<double> weights{1.0};
  for (int i = 0; i < parts; ++i) {
    poles.push_back(at(from + (i + 0.5) * step, 1.0 / weight));
    weights.push_back(weight);
    poles.push_back(at(from + (i + 1) * step, 1.0));
    weights.push_back(1.0);
    knots.insert(knots.end(), 2, static_cast<double>(i + 1) / parts);
  }
  knots.push_back(1.0);
  if (turn >= kFull * (1.0 - 1e-9)) poles.back() = poles.front();  // a full ellipse closes to the bit
  return make_spline(2, std::move(knots), std::move(poles), std::move(weights));
}

}  // namespace lastwright
