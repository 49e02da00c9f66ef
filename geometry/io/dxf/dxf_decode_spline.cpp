// SPLINE and ELLIPSE. Both are in world coordinates; an ellipse's extrusion tells which way round it runs.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/io/dxf/dxf_decode.hpp"

namespace lastwright {
namespace {

// Chains of Bezier pieces are often stored as one spline in which every inner knot stands degree + 1 times
// and the pole where two pieces meet stands twice. One of each is enough, and the curve is the same.
void join_full_knots(int degree, std::vector<double>& knots, std::vector<Vec2>& poles,
                     std::vector<double>& weights) {
  const auto full = static_cast<std::size_t>(degree) + 1;
  if (knots.size() != poles.size() + full || (!weights.empty() && weights.size() != poles.size())) return;
  constexpr double kSamePole = 1e-9;  // of the larger coordinate: the last digits of a file
  std::vector<double> kept_knots(knots.begin(), knots.begin() + static_cast<std::ptrdiff_t>(full));
  std::vector<Vec2> kept_poles;
  std::vector<double> kept_weights;
  std::size_t pole = 0;
  const auto keep_poles = [&](std::size_t end) {
    for (; pole < end; ++pole) {
      kept_poles.push_back(poles[pole]);
      if (!weights.empty()) kept_weights.push_back(weights[pole]);
    }
  };
  for (std::size_t i = full; i < knots.size();) {
    std::size_t next = i + 1;
    while (next < knots.size() && knots[next] == knots[i]) ++next;
    const bool inner = i < poles.size() && knots[i] > knots[full - 1] && next < knots.size();
    // The pieces before and after a full knot meet in poles i - 1 and i.
    const double size = 1.0 + std::max(std::abs(poles[std::min(i, poles.size() - 1)].x),
                                       std::abs(poles[std::min(i, poles.size() - 1)].y));
    const bool twice = inner && next - i == full && i < poles.size() &&
                       distance(poles[i - 1], poles[i]) <= kSamePole * size &&
                       (weights.empty() || weights[i - 1] == weights[i]);
    if (twice) {
      keep_poles(i);
      ++pole;
    }
    kept_knots.insert(kept_knots.end(), knots.begin() + static_cast<std::ptrdiff_t>(twice ? i + 1 : i),
                      knots.begin() + static_cast<std::ptrdiff_t>(next));
    i = next;
  }
  keep_poles(poles.size());
  knots = std::move(kept_knots);
  poles = std::move(kept_poles);
  weights = std::move(kept_weights);
}

}  // namespace

DxfShape decode_spline(DxfFields& fields) {
  std::vector<double> knots;
  std::vector<Vec2> poles;
  std::vector<double> weights;
  std::size_t fit_points = 0;
  std::size_t ys = 0;
  double lowest = 0.0;
  double highest = 0.0;
  bool any_z = false;
  for (const DxfTag& tag : fields.tags()) {
    switch (tag.code) {
      case 40:
        knots.push_back(fields.real(tag));
        break;
      case 41:
        weights.push_back(fields.real(tag));
        break;
      case 10:
        poles.push_back({fields.coordinate(tag), 0.0});
        break;
      case 20:
        if (++ys == poles.size()) poles.back().y = fields.coordinate(tag);
        break;
      case 30: {
        const double z = fields.real(tag);
        lowest = any_z ? std::min(lowest, z) : z;
        highest = any_z ? std::max(highest, z) : z;
        any_z = true;
        break;
      }
      case 11:
        ++fit_points;
        break;
      default:
        break;
    }
  }
  if (fields.failure()) return DxfUnread{};
  if (poles.empty()) {
    fields.fail(Trouble::kUnsupported,
                fit_points > 0
                    ? "it gives fit points only, and DXF does not say which curve runs between them; save it "
                      "with control points"
                    : "it has no control points");
    return DxfUnread{};
  }
  if (ys != poles.size()) fields.fail(Trouble::kSyntax, "a control point has no Y (group code 20)");
  fields.must_be_flat(lowest, highest);
  check_promise(fields, 73, poles.size(), "control points");
  check_promise(fields, 72, knots.size(), "knots");
  const std::int64_t degree = fields.whole(71, 3);
  constexpr std::int64_t kHighestDegree = 15;
  if (degree < 1 || degree > kHighestDegree) {
    fields.fail(Trouble::kUnsupported,
                fmt::format("its degree {} is outside 1 to {}", degree, kHighestDegree));
  }
  if (fields.failure()) return DxfUnread{};
  if (std::all_of(poles.begin(), poles.end(), [&](Vec2 p) { return p == poles.front(); }))
    return DxfUnread{"it has no length"};
  join_full_knots(static_cast<int>(degree), knots, poles, weights);
  Result<Spline> spline =
      make_spline(static_cast<int>(degree), std::move(knots), std::move(poles), std::move(weights));
  if (spline) return std::move(spline).value();
  fields.fail(spline.problem().trouble, spline.problem().message);
  return DxfUnread{};
}

DxfShape decode_ellipse(DxfFields& fields) {
  constexpr double kFull = 2.0 * std::numbers::pi;  // a full turn
  const double facing = fields.facing();
  const Vec2 centre = fields.point(10, "the centre");
  const Vec2 major = fields.point(11, "the end of the major axis");
  const double ratio = fields.need(40, "the ratio of the axes");
  double start = fields.real(41, 0.0);
  double end = fields.real(42, kFull);
  const double tilt = fields.real(31, 0.0);
  fields.must_be_flat(std::min(0.0, tilt), std::max(0.0, tilt));
  if (fields.failure()) return DxfUnread{};
  if (major == Vec2{} || ratio == 0.0) return DxfUnread{"an ellipse without extent"};
  // Of 2 pi with four decimals, which may be above it as well as below: no arc is so short.
  constexpr double kSameAngle = 2e-5;
  double sweep = std::fmod(end - start, kFull);
  if (sweep < 0.0) sweep += kFull;
  if (sweep <= kSameAngle || sweep >= kFull - kSameAngle) sweep = kFull;
  start = std::fmod(start, kFull);
  // Seen from below, or with a negative ratio, the parameter runs clockwise.
  const bool clockwise = facing * ratio < 0.0;
  if (clockwise) start = -(start + sweep);
  Result<Spline> arc = ellipse_arc(centre, major, std::abs(ratio), Radians(start), Radians(start + sweep));
  if (!arc) {
    fields.fail(arc.problem().trouble, arc.problem().message);
    return DxfUnread{};
  }
  if (!clockwise) return std::move(arc).value();
  return std::get<Spline>(reversed(Curve(std::move(arc).value())));
}

}  // namespace lastwright
