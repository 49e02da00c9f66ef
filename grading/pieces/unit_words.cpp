#include "grading/pieces/unit_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "geometry/curve/nearest.hpp"
#include "geometry/tolerance.hpp"
#include "grading/pieces/drawing/outline_split.hpp"

namespace lastwright {

namespace {

constexpr std::pair<const char*, double> kUnitWords[] = {{"mm", 1.0}, {"cm", 10.0}, {"in", 25.4}};

bool within(const ClosedOutline& outline, Vec2 p, double reach) {
  return std::any_of(outline.curves().begin(), outline.curves().end(),
                     [&](const Curve& curve) { return nearest(curve, p).distance <= reach; });
}

}  // namespace

std::string unit_overridden(const Drawing& drawing) {
  const double said = drawing.file_unit_in_mm;
  const double taken = drawing.unit_in_mm;
  if (!(said > 0.0) || same_unit(taken, said)) return "";
  return fmt::format("the drawing says its unit is {}, and {} was asked for: taken as {}", unit_name(said),
                     unit_name(taken), unit_name(taken));
}

std::string fitting_unit(const ClosedOutline& outline, const PieceSpec& spec, const FormeSpec& forme,
                         double unit_in_mm) {
  for (const auto& [name, size] : kUnitWords) {
    const double factor = size / unit_in_mm;
    if (same_unit(factor, 1.0)) continue;
    const double reach = tolerance::kCornerSnap.value() / factor;
    if (std::all_of(spec.corners.begin(), spec.corners.end(), [&](const CornerSpec& corner) {
          return within(outline, (1.0 / factor) * corner_place(corner, forme), reach);
        }))
      return name;
  }
  return "";
}

}  // namespace lastwright
