#include "geometry/curve/placed_curve.hpp"

#include <utility>

#include "geometry/invariant.hpp"

namespace lastwright {

Curve placed(const Curve& curve, const PlaneAffine& motion) {
  if (const auto* line = std::get_if<Line>(&curve)) return Line{motion.point(line->a), motion.point(line->b)};
  if (const auto* arc = std::get_if<Arc>(&curve))
    return Arc{motion.point(arc->a), motion.point(arc->b), motion.mirrors() ? -arc->bulge : arc->bulge};
  const auto& spline = std::get<Spline>(curve);
  std::vector<Vec2> poles;
  poles.reserve(spline.poles().size());
  for (const Vec2 pole : spline.poles()) poles.push_back(motion.point(pole));
  Result<Spline> moved = make_spline(spline.degree(), spline.knots(), std::move(poles), spline.weights());
  invariant(moved.ok(), "a sound spline stays sound where it is moved");
  return *std::move(moved);
}

}  // namespace lastwright
