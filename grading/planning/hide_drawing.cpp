#include "grading/planning/hide_drawing.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <set>

#include "geometry/curve/curve_measure.hpp"
#include "geometry/fill/fill_shape.hpp"
#include "geometry/lattice/convex_parts.hpp"
#include "grading/pieces/drawing/pattern_drawing.hpp"
#include "grading/planning/hide_directions.hpp"
#include "grading/planning/hide_holes.hpp"
#include "grading/sizes/small_letters.hpp"

namespace lastwright {

namespace {

constexpr Millimetres kFollowed{0.05};  // of a curve by chords: far less than a hide is traced to
// Common practice: from a small kid skin to a large whole hide, mm^2.
constexpr double kLeastHide = 20e4;
constexpr double kMostHide = 800e4;
constexpr std::size_t kMostOfOutline = 4000;
constexpr std::size_t kMostDirections = 60;  // each is tried for each piece

Problem of_layer(const Contour& contour, std::string message) {
  return Problem{Trouble::kGeometry, std::move(message), {{}, contour.from.line, {}, {}}, {}, {}}.in(
      "layer", contour.from.layer);
}

Result<Polygon> polygon_of(const Contour& contour, Millimetres gap) {
  const Result<ClosedOutline> closed = make_closed_outline(contour.raw, gap);
  if (!closed) return closed.problem().in("layer", contour.from.layer);
  Polygon polygon;
  for (const Curve& curve : closed->curves()) {
    std::vector<Vec2> points = flattened(curve, kFollowed);
    polygon.insert(polygon.end(), points.begin(), points.end() - 1);
  }
  // Points on one line, as traced pictures have them by the thousand, say nothing.
  Polygon corners;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const Vec2 before = corners.empty() ? polygon.back() : corners.back();
    const Vec2 after = polygon[(i + 1) % polygon.size()];
    if (polygon[i] == before) continue;
    const double off =
        std::abs(cross(polygon[i] - before, after - before)) / std::max(1e-9, distance(before, after));
    if (off > 1e-6 || dot(polygon[i] - before, after - polygon[i]) <= 0.0) corners.push_back(polygon[i]);
  }
  if (corners.size() < 3 || !(signed_area(corners) > 0.0))
    return of_layer(contour, "the outline has no area");
  if (corners.size() > kMostOfOutline) {
    Problem many = of_layer(contour, "the outline has too many corners: trace it more coarsely");
    many.trouble = Trouble::kBudget;
    many.value = static_cast<double>(corners.size());
    many.limit = static_cast<double>(kMostOfOutline);
    return many;
  }
  return corners;
}

Polygon round_polygon(const DrawnCircle& circle) {
  constexpr int kCorners = 32;  // round the circle: nothing of it is used
  Polygon polygon;
  const double radius = circle.radius / std::cos(std::numbers::pi / kCorners);
  for (int k = 0; k < kCorners; ++k) {
    const double angle = 2.0 * std::numbers::pi * k / kCorners;
    polygon.push_back(circle.centre + radius * Vec2{std::cos(angle), std::sin(angle)});
  }
  return polygon;
}

std::vector<Vec2> line_of(const Contour& contour) {
  std::vector<Vec2> points;
  for (const Curve& curve : contour.raw.curves) {
    const std::vector<Vec2> some = flattened(curve, kFollowed);
    points.insert(points.end(), some.begin(), some.end());
  }
  return points;
}

Status add_holes(HideDrawing& hide) {
  const Result<std::optional<HolesTogether>> holes = holes_together(hide.outline, hide.holes);
  if (!holes) return holes.problem();
  if (!*holes)
    return Problem{
        Trouble::kBudget,
        "the holes lie over one another in more parts than are reckoned with: draw each place once",
        {},
        {},
        {}}
        .in("layer", "hole");
  hide.hole_area = (*holes)->area;
  hide.bounded_by = (*holes)->bounded_by;
  hide.holes_within = (*holes)->within;
  return Done{};
}

// Whether a layer's name is, or begins like, one that means something.
bool may_be_meant(const std::string& layer) {
  const std::string name = small_letters(layer);
  return name.starts_with("hole") || name.starts_with("zone") || name.starts_with("direction") ||
         name.starts_with("hide");
}

bool is_hole(const std::string& layer) {
  const std::string name = small_letters(layer);
  return name == "hole" || name == "holes";
}
bool is_zone(const std::string& layer) {
  const std::string name = small_letters(layer);
  return name.starts_with("zone ") && name.size() > 5;
}

bool cross_each_other(Vec2 a, Vec2 b, Vec2 c, Vec2 d) {
  return cross(b - a, c - a) * cross(b - a, d - a) <= 0.0 && cross(d - c, a - c) * cross(d - c, b - c) <= 0.0;
}

// Whether anything of a line lies on the hide.
bool reaches(const std::vector<Vec2>& line, const Polygon& hide) {
  if (std::any_of(line.begin(), line.end(), [&](Vec2 at) { return inside_polygon(hide, at); })) return true;
  for (std::size_t i = 1; i < line.size(); ++i) {
    for (std::size_t k = 0; k < hide.size(); ++k) {
      if (cross_each_other(line[i - 1], line[i], hide[k], hide[(k + 1) % hide.size()])) return true;
    }
  }
  return false;
}

// Holes, zones and directions of which nothing lies on the hide.
void tell_off_hide(HideDrawing& hide, const std::vector<std::vector<Vec2>>& directions) {
  for (const std::vector<Vec2>& line : directions) {
    if (reaches(line, hide.outline)) continue;
    hide.doubts.push_back(fmt::format(
        "the direction from x {:.0f}, y {:.0f} mm lies wholly off the hide; pieces that are nearest "
        "to it lie along it all the same",
        line.front().x, line.front().y));
  }
  const Result<std::vector<Polygon>> whole = convex_parts(hide.outline);
  if (!whole) return;  // refused with the holes
  const auto look = [&](const Polygon& outline, const std::string& what) {
    const Result<std::vector<Polygon>> parts = convex_parts(outline);
    if (parts && shared_area(*whole, *parts) > 1e-3) return;
    const Vec2 middle = bounds(outline).centre();
    hide.doubts.push_back(
        fmt::format("{} about x {:.0f}, y {:.0f} mm lies wholly off the hide", what, middle.x, middle.y));
  };
  for (const Polygon& hole : hide.holes) look(hole, "the hole");
  for (const HideZone& zone : hide.zones) look(zone.outline, "a part of the zone " + zone.name);
}

// Why there is none: what lies on the layer hide is no line, or the lines lie on other layers.
Problem no_outline(const Drawing& drawing, const std::vector<Contour>& contours) {
  Problem problem{Trouble::kBadValue, "", {}, {}, {}};
  const auto on_hide = [&](const DrawnFrom& from, const std::string& what) {
    if (!problem.message.empty() || small_letters(from.layer) != "hide") return;
    problem.message =
        "no outline of a hide: on the layer " + from.layer + " lies " + what + ", and no closed line";
    problem.place.line = from.line;
    problem = problem.in("layer", from.layer);
  };
  for (const DrawnCircle& circle : drawing.circles) on_hide(circle.from, "a circle");
  for (const DrawnPoint& point : drawing.points) on_hide(point.from, "a point");
  for (const DrawnText& text : drawing.texts) on_hide(text.from, "a text");
  for (const LeftOut& left_out : drawing.left_out)
    on_hide(left_out.from, "what is not read (" + left_out.reason + ")");
  if (!problem.message.empty()) return problem;
  std::set<std::string> layers;
  for (const Contour& contour : contours) {
    if (contour.closed) layers.insert("\"" + contour.from.layer + "\"");
  }
  for (const DrawnCircle& circle : drawing.circles) layers.insert("\"" + circle.from.layer + "\"");
  problem.message = layers.empty()
                        ? "no outline of a hide: the drawing has no closed line, on the layer hide or another"
                        : fmt::format(
                              "no outline of a hide: no closed line lies on the layer hide; closed lines "
                              "and circles lie on {} {}",
                              layers.size() == 1 ? "the layer" : "the layers", fmt::join(layers, ", "));
  return problem;
}

// A line of the way that pieces lie, in its parts that run one way.
Status add_direction(const Contour& contour, HideDrawing& hide, std::vector<std::vector<Vec2>>& drawn) {
  if (contour.closed) return of_layer(contour, "a direction must be an open line");
  drawn.push_back(line_of(contour));
  for (std::vector<Vec2>& part : one_way_parts(drawn.back())) hide.directions.push_back(std::move(part));
  if (hide.directions.size() > kMostDirections) {
    Problem many = of_layer(contour, "the lines run more ways than are reckoned with: draw them straighter");
    many.trouble = Trouble::kBudget;
    many.value = static_cast<double>(hide.directions.size());
    many.limit = static_cast<double>(kMostDirections);
    return many;
  }
  return Done{};
}

// Texts, points and what was left out: those on layers that may be meant are named. How many others there
// are.
std::size_t tell_unused(const Drawing& drawing, bool alone, HideDrawing& hide) {
  std::size_t others = 0;
  std::map<std::string, std::size_t> meant;
  const auto tell_other = [&](const DrawnFrom& from, const std::string& what) {
    if (!alone && may_be_meant(from.layer)) {
      ++meant[fmt::format("{} on the layer {}", what, from.layer)];
    } else {
      ++others;
    }
  };
  for (const DrawnText& text : drawing.texts) tell_other(text.from, "TEXT");
  for (const DrawnPoint& point : drawing.points) tell_other(point.from, "POINT");
  for (const LeftOut& left_out : drawing.left_out)
    tell_other(left_out.from, fmt::format("{} ({})", left_out.from.entity, left_out.reason));
  for (const auto& [what, count] : meant)
    hide.doubts.push_back(fmt::format("{} {} not used: only lines and circles are", count, what));
  return others;
}

}  // namespace

double HideDrawing::area() const {
  return signed_area(outline);
}

Result<HideDrawing> hide_of(const Drawing& drawing, Millimetres gap) {
  ChainedContours chained = chain_contours(drawing, gap);
  if (!chained.problems.empty()) return chained.problems.front();
  HideDrawing hide;
  const auto closed = std::count_if(chained.contours.begin(), chained.contours.end(),
                                    [](const Contour& one) { return one.closed; });
  // A drawing of one closed line alone needs no layer's name; one that says what else it is stays that.
  const bool alone = closed == 1 && chained.contours.size() == 1 && drawing.circles.empty() &&
                     !is_hole(chained.contours.front().from.layer) &&
                     !is_zone(chained.contours.front().from.layer);
  std::set<std::string> unused;
  std::vector<std::vector<Vec2>> drawn_directions;
  for (const Contour& contour : chained.contours) {
    const std::string layer = small_letters(contour.from.layer);
    if (layer == "direction") {
      if (Status added = add_direction(contour, hide, drawn_directions); !added) return added.problem();
      continue;
    }
    const bool edge = alone || layer == "hide";
    const bool hole = is_hole(layer);
    const bool zone = is_zone(layer);
    if (!edge && !hole && !zone) {
      unused.insert(contour.from.layer);
      continue;
    }
    if (!contour.closed) return of_layer(contour, "the outline does not close");
    if (edge && !hide.outline.empty())
      return of_layer(contour, "there are two outlines of hides: give each a drawing of its own");
    Result<Polygon> polygon = polygon_of(contour, gap);
    if (!polygon) return polygon.problem();
    if (edge) {
      hide.outline = *std::move(polygon);
    } else if (hole) {
      hide.holes.push_back(*std::move(polygon));
    } else {
      hide.zones.push_back({layer.substr(5), *std::move(polygon)});
    }
  }
  for (const DrawnCircle& circle : drawing.circles) {
    if (is_hole(circle.from.layer)) {
      hide.holes.push_back(round_polygon(circle));
    } else {
      unused.insert(circle.from.layer);
    }
  }
  if (hide.outline.empty()) return no_outline(drawing, chained.contours);
  if (Status holes = add_holes(hide); !holes) return holes.problem();
  for (const std::string& layer : unused)
    hide.doubts.push_back(
        fmt::format("the layer {} is not used: its name is none of hide, hole, zone NAME, direction", layer));
  tell_off_hide(hide, drawn_directions);
  const std::size_t others = tell_unused(drawing, alone, hide);
  hide.doubts.insert(hide.doubts.end(), drawing.notes.begin(), drawing.notes.end());
  if (hide.area() < kLeastHide || hide.area() > kMostHide)
    hide.doubts.push_back(fmt::format(
        "the hide has {:.3g} dm2; those of {:g} to {:g} dm2 are common: is the drawing's unit right?",
        hide.area() / 1e4, kLeastHide / 1e4, kMostHide / 1e4));
  if (others > 0)
    hide.notes.push_back(
        fmt::format("{} texts, points and other things of the drawing are not used", others));
  return hide;
}

}  // namespace lastwright
