#include "geometry/map/field_mix.hpp"

#include "geometry/invariant.hpp"
#include "geometry/map/field_solve.hpp"

namespace lastwright {

FieldMix::FieldMix(const DriverField& field, const Eigen::MatrixXd& columns) : frame_(field.frame()) {
  invariant(columns.rows() == static_cast<Eigen::Index>(field.drivers()), "one row per driver");
  const Eigen::MatrixXd of_conditions = columns.bottomRows(columns.rows() - 2);
  for (const FieldPart& part : *field.parts_) parts_.push_back(part.mixed(of_conditions));
  stretches_ = columns.topRows(2);
}

FieldMix::Slopes FieldMix::slopes(Vec2 p) const {
  const Vec2 e = frame_.axis;
  const Vec2 n = left_of(e);
  auto [x, y] = felt_at(parts_, to_frame(frame_, p), size());
  x.row(1) += stretches_.row(0);
  y.row(2) += stretches_.row(1);
  Slopes slopes(4, size());
  for (Eigen::Index k = 0; k < size(); ++k) {
    const Vec2 along = turn_from_frame(frame_, {x(1, k), y(1, k)});
    const Vec2 across = turn_from_frame(frame_, {x(2, k), y(2, k)});
    const Vec2 ux = e.x * along + n.x * across;
    const Vec2 uy = e.y * along + n.y * across;
    slopes.col(k) << ux.x, ux.y, uy.x, uy.y;
  }
  return slopes;
}

}  // namespace lastwright
