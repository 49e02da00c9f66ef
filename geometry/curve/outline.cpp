#include "geometry/curve/outline.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geometry/curve/curve_measure.hpp"
#include "geometry/curve/polygon_contact.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

Problem bad_outline(std::string message, Vec2 at) {
  message += fmt::format(" at ({:.4f}, {:.4f})", at.x, at.y);
  return {Trouble::kGeometry, std::move(message), {}, {}, {}};
}

bool has_length(const Curve& curve) {
  const Box2 box = bounds(curve);
  return std::max(box.width(), box.height()) > tolerance::kSamePoint.value();
}

Status check_curves(const std::vector<Curve>& curves) {
  if (curves.empty()) return Problem{Trouble::kGeometry, "an outline without any curve", {}, {}, {}};
  for (const Curve& curve : curves) {
    const Box2 box = bounds(curve);
    const Arc* arc = std::get_if<Arc>(&curve);
    if (!is_finite(start_of(curve)) || !is_finite(end_of(curve)) || (arc && !std::isfinite(arc->bulge)) ||
        !is_finite(box.low) || !is_finite(box.high)) {
      return Problem{
          Trouble::kGeometry, "an outline with a coordinate that is not a finite number", {}, {}, {}};
    }
    if (!has_length(curve)) return bad_outline("a curve without length", start_of(curve));
  }
  return Done{};
}

// Moves the end of curve `one` and the start of curve `two` to their midpoint.
Status join(std::vector<Curve>& curves, std::size_t one, std::size_t two, double gap) {
  const Vec2 end = end_of(curves[one]);
  const Vec2 start = start_of(curves[two]);
  const double apart = distance(end, start);
  if (apart > gap) {
    Problem problem = bad_outline("the outline is open", end);
    problem.message += fmt::format(", the next curve starts at ({:.4f}, {:.4f})", start.x, start.y);
    problem.value = apart;
    problem.limit = gap;
    return problem;
  }
  if (end == start) return Done{};
  const Vec2 middle = lerp(end, start, 0.5);
  curves[one] = with_ends(curves[one], start_of(curves[one]), middle);
  curves[two] = with_ends(curves[two], middle, end_of(curves[two]));
  for (std::size_t i : {one, two}) {
    if (!has_length(curves[i])) return bad_outline("a curve no longer than the gap it closes", middle);
  }
  return Done{};
}

Result<std::vector<Curve>> joined(RawOutline raw, Millimetres gap, bool closed) {
  if (Status sound = check_curves(raw.curves); !sound) return sound.problem();
  const std::size_t n = raw.curves.size();
  for (std::size_t i = 0; i + (closed ? 0 : 1) < n; ++i) {
    if (Status met = join(raw.curves, i, (i + 1) % n, gap.value()); !met) return met.problem();
  }
  return std::move(raw.curves);
}

double area_of(const std::vector<Curve>& curves) {
  Box2 box;
  for (const Curve& curve : curves) box.add(start_of(curve));
  for (const Curve& curve : curves) box.add(bounds(curve));
  const double error = 1e-9 * std::max(box.width() * box.height(), 1e-3);
  double area = 0.0;
  for (const Curve& curve : curves) area += swept_area(curve, box.centre(), error);
  return area;
}

// The flattened outline without its repeated points.
std::vector<Vec2> polygon_of(const std::vector<Curve>& curves) {
  std::vector<Vec2> polygon;
  const double apart = 10.0 * tolerance::kSamePoint.value();
  for (const Curve& curve : curves) {
    for (Vec2 p : flattened(curve, tolerance::kOutlineChord)) {
      if (polygon.empty() || distance(polygon.back(), p) > apart) polygon.push_back(p);
    }
  }
  while (polygon.size() > 1 && distance(polygon.front(), polygon.back()) <= apart) polygon.pop_back();
  return polygon;
}

}  // namespace

Result<OpenChain> make_open_chain(RawOutline raw, Millimetres gap) {
  Result<std::vector<Curve>> curves = joined(std::move(raw), gap, false);
  if (!curves) return curves.problem();
  OpenChain chain;
  chain.curves_ = *std::move(curves);
  return chain;
}

Result<ClosedOutline> make_closed_outline(RawOutline raw, Millimetres gap) {
  Result<std::vector<Curve>> curves = joined(std::move(raw), gap, true);
  if (!curves) return curves.problem();
  const std::vector<Vec2> polygon = polygon_of(*curves);
  if (polygon.size() < 3) return bad_outline("an outline that encloses nothing", polygon.front());
  if (const std::optional<Vec2> at = self_contact(polygon, tolerance::kSamePoint)) {
    return bad_outline("the outline crosses or touches itself", *at);
  }
  if (area_of(*curves) < 0.0) {
    std::reverse(curves->begin(), curves->end());
    for (Curve& curve : *curves) curve = reversed(curve);
  }
  ClosedOutline outline;
  outline.curves_ = *std::move(curves);
  return outline;
}

double signed_area(const ClosedOutline& outline) {
  return area_of(outline.curves());
}

double length(const ClosedOutline& outline) {
  double sum = 0.0;
  for (const Curve& curve : outline.curves()) sum += length(curve);
  return sum;
}

double length(const OpenChain& chain) {
  double sum = 0.0;
  for (const Curve& curve : chain.curves()) sum += length(curve);
  return sum;
}

Box2 bounds(const ClosedOutline& outline) {
  Box2 box;
  for (const Curve& curve : outline.curves()) box.add(bounds(curve));
  return box;
}

}  // namespace lastwright
