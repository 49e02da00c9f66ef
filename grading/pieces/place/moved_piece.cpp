// What grading/pieces/place/piece_lie moves: a drawing, and what a style says of a piece in coordinates.
#include <algorithm>
#include <type_traits>
#include <utility>

#include "geometry/curve/placed_curve.hpp"
#include "grading/pieces/place/piece_lie.hpp"

namespace lastwright {

namespace {

Radians moved(Radians angle, const PlaneAffine& motion) {
  const Vec2 along = motion.direction({std::cos(angle.value()), std::sin(angle.value())});
  return Radians(std::atan2(along.y, along.x));
}

// What a style says in coordinates; named points are on the forme already.
class SpecMover {
 public:
  explicit SpecMover(const PlaneAffine& motion) : motion_(motion) {}

  void spot(Spot& spot) const {
    if (auto* at = std::get_if<Vec2>(&spot)) *at = motion_.point(*at);
  }

  template <class Work>
  void operator()(Work& work) const {
    if constexpr (requires { work.at; }) place(work);
    if constexpr (requires { work.along; }) course(work);
  }

 private:
  template <class Work>
  void place(Work& work) const {
    auto* forme = std::get_if<FormePlace>(&work.at);
    if (forme == nullptr || !std::holds_alternative<Vec2>(forme->spot)) return;
    spot(forme->spot);
    forme->by = motion_.direction(forme->by);
    if constexpr (requires { work.degrees; }) {
      work.degrees = to_degrees(moved(from_degrees(work.degrees), motion_));
    }
  }

  // What lies to the left of a line that is turned over lies to its right.
  template <class Work>
  void course(Work& work) const {
    std::vector<Spot>& through = work.along.through;
    const bool drawn = !through.empty() && std::all_of(through.begin(), through.end(), [](const Spot& one) {
      return std::holds_alternative<Vec2>(one);
    });
    for (Spot& one : through) spot(one);
    if (!drawn || !motion_.mirrors()) return;
    const auto over = [](Millimetres& side) { side = Millimetres(-side.value()); };
    over(work.along.inset);
    if constexpr (std::is_same_v<Work, LineWork>) over(work.row_gap);
    if constexpr (std::is_same_v<Work, RowWork>) {
      for (UnitHole& hole : work.unit) over(hole.across);
    }
  }

  const PlaneAffine& motion_;
};

}  // namespace

PlaneAffine motion_of(const DrawingPose& sheet) {
  PlaneAffine motion;
  motion.x_axis = direction_of_degrees(sheet.turn);
  motion.y_axis = left_of(motion.x_axis);
  if (sheet.mirrored) motion.x_axis = -motion.x_axis;
  motion.origin = sheet.by;
  return motion;
}
PlaneAffine motion_of(const PieceLie& lie) {
  return motion_of(DrawingPose{lie.mirrored, lie.turn, lie.shift});
}

PatternDrawing moved(const PatternDrawing& drawing, const PlaneAffine& motion) {
  PatternDrawing out = drawing;
  out.laid = true;
  for (PatternContour& one : out.contours) {
    one.box = {};
    for (Curve& curve : one.contour.raw.curves) {
      curve = placed(curve, motion);
      one.box.add(bounds(curve));
    }
    for (Vec2& p : one.polygon) p = motion.point(p);
  }
  for (DrawnPath& path : out.drawing.paths) {
    for (Curve& curve : path.curves) curve = placed(curve, motion);
  }
  for (DrawnCircle& circle : out.drawing.circles) circle.centre = motion.point(circle.centre);
  for (DrawnPoint& point : out.drawing.points) point.at = motion.point(point.at);
  for (DrawnText& text : out.drawing.texts) {
    text.at = motion.point(text.at);
    text.angle = moved(text.angle, motion);
  }
  return out;
}

PieceSpec moved(PieceSpec spec, const PlaneAffine& motion) {
  const SpecMover mover(motion);
  for (CornerSpec& corner : spec.corners) mover.spot(corner.at);
  for (FeatureSpec& feature : spec.features) std::visit(mover, feature.work);
  if (spec.source.at) spec.source.at = motion.point(*spec.source.at);
  return spec;
}

}  // namespace lastwright
