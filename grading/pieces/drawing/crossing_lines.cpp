#include "grading/pieces/drawing/crossing_lines.hpp"

#include <algorithm>
#include <cmath>
#include <string_view>
#include <tuple>
#include <vector>

namespace lastwright {

namespace {

constexpr double kTouch = 0.02;  // twice the chord that the polygons are flattened with

using LayerOfLines = std::tuple<std::string_view, std::size_t, std::string_view>;

LayerOfLines layer_of(const PatternContour& contour) {
  const DrawnFrom& from = contour.contour.from;
  return {from.block, from.insert, from.layer};
}

struct Segment {
  Vec2 a;
  Vec2 b;
  [[nodiscard]] Box2 box() const {
    Box2 box{a, a};
    box.add(b);
    return box;
  }
};

double distance_to(const Segment& segment, Vec2 p) {
  const Vec2 along = segment.b - segment.a;
  const double length = dot(along, along);
  const double t = length > 0.0 ? std::clamp(dot(p - segment.a, along) / length, 0.0, 1.0) : 0.0;
  return distance(segment.a + t * along, p);
}

bool meet(const Segment& s, const Segment& t) {
  const double a = cross(s.b - s.a, t.a - s.a);
  const double b = cross(s.b - s.a, t.b - s.a);
  const double c = cross(t.b - t.a, s.a - t.a);
  const double d = cross(t.b - t.a, s.b - t.a);
  if (((a < 0.0) != (b < 0.0)) && ((c < 0.0) != (d < 0.0))) return true;
  return std::min({distance_to(s, t.a), distance_to(s, t.b), distance_to(t, s.a), distance_to(t, s.b)}) <=
         kTouch;
}

// The sides of a polygon that reach into a box.
std::vector<Segment> sides_in(const std::vector<Vec2>& polygon, const Box2& box) {
  std::vector<Segment> sides;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const Segment side{polygon[i], polygon[(i + 1) % polygon.size()]};
    if (side.box().overlaps(box)) sides.push_back(side);
  }
  return sides;
}

bool meet(const PatternContour& line, const PatternContour& outline) {
  const Box2 reach = line.box.grown(kTouch);
  if (!reach.overlaps(outline.box)) return false;
  const std::vector<Segment> sides = sides_in(outline.polygon, reach);
  if (sides.empty()) return false;
  for (const Segment& one : sides_in(line.polygon, outline.box.grown(kTouch))) {
    const Box2 here = one.box().grown(kTouch);
    if (std::any_of(sides.begin(), sides.end(),
                    [&](const Segment& side) { return here.overlaps(side.box()) && meet(one, side); }))
      return true;
  }
  return false;
}

// Whether an outline in use, of its own layer, goes round a closed line that does not meet it.
bool lies_in_own(std::size_t line, const PatternDrawing& drawing, const std::set<std::size_t>& used) {
  const PatternContour& one = drawing.contours[line];
  return std::any_of(used.begin(), used.end(), [&](std::size_t i) {
    const PatternContour& outline = drawing.contours[i];
    return layer_of(outline) == layer_of(one) && !one.polygon.empty() &&
           inside_polygon(outline.polygon, one.polygon.front());
  });
}

}  // namespace

std::map<std::size_t, std::size_t> crossing_lines(const PatternDrawing& drawing,
                                                  const std::set<std::size_t>& used) {
  std::set<LayerOfLines> own_layers;
  for (const std::size_t i : used) own_layers.insert(layer_of(drawing.contours[i]));
  std::map<std::size_t, std::size_t> crossing;
  for (std::size_t i = 0; i < drawing.contours.size(); ++i) {
    const PatternContour& line = drawing.contours[i];
    if (!line.contour.closed || line.role != LayerRole::kBoundary || used.contains(i)) continue;
    if (!own_layers.contains(layer_of(line))) continue;
    std::vector<std::tuple<bool, double, std::size_t>> met;  // of another layer, area, contour
    for (const std::size_t outline : used) {
      const PatternContour& other = drawing.contours[outline];
      const DrawnFrom& from = line.contour.from;
      const DrawnFrom& its = other.contour.from;
      if (!from.block.empty() && (from.block != its.block || from.insert != its.insert)) continue;
      if (meet(line, other)) met.emplace_back(layer_of(line) != layer_of(other), other.area, outline);
    }
    if (met.empty()) continue;
    const auto& [elsewhere, area, outline] = *std::min_element(met.begin(), met.end());
    if (elsewhere && lies_in_own(i, drawing, used)) continue;
    crossing.emplace(i, outline);
  }
  return crossing;
}

}  // namespace lastwright
