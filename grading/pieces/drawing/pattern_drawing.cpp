#include "grading/pieces/drawing/pattern_drawing.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <memory>
#include <optional>
#include <string_view>
#include <tuple>
#include <utility>

#include "geometry/curve/curve_measure.hpp"
#include "geometry/curve/fair.hpp"
#include "geometry/io/drawn_place.hpp"
#include "geometry/io/dxf/drawn_twice.hpp"
#include "grading/pieces/drawing/outline_group.hpp"

namespace lastwright {

namespace {

constexpr Millimetres kInsideChord{0.01};  // for telling inside from outside only

Contour circle_contour(const DrawnCircle& circle) {
  const Vec2 right = circle.centre + Vec2{circle.radius, 0.0};
  const Vec2 left = circle.centre - Vec2{circle.radius, 0.0};
  return {{{Arc{right, left, 1.0}, Arc{left, right, 1.0}}}, true, 0.0, circle.from, {}};
}

// Mirror lines of pieces that meet on one front line are not one line: each is a contour of its own.
Contour path_contour(const DrawnPath& path, std::size_t index) {
  return {{path.curves}, path.closed, 0.0, path.from, {index}};
}

PatternContour prepared(Contour contour, const DrawingSpec& spec, const std::vector<OutlineLayer>& outlines) {
  PatternContour out;
  out.role = role_of_layer(spec, contour.from.layer);
  const bool named = std::any_of(outlines.begin(), outlines.end(), [&](const OutlineLayer& one) {
    return one.layer == contour.from.layer && (!one.block || *one.block == contour.from.block);
  });
  out.named_only = named && !out.role;
  if (out.named_only) out.role = LayerRole::kBoundary;
  out.holds_outlines = named || out.role == LayerRole::kBoundary;
  out.contour = std::move(contour);
  for (const Curve& curve : out.contour.raw.curves) out.box.add(bounds(curve));
  if (!out.contour.closed) return out;
  for (const Curve& curve : out.contour.raw.curves) {
    const std::vector<Vec2> points = flattened(curve, kInsideChord);
    if (!points.empty()) out.polygon.insert(out.polygon.end(), points.begin(), points.end() - 1);
  }
  double twice = 0.0;
  for (std::size_t i = 0; i < out.polygon.size(); ++i) {
    twice += cross(out.polygon[i], out.polygon[(i + 1) % out.polygon.size()]);
  }
  out.area = 0.5 * std::abs(twice);
  return out;
}

// The corners of all outlines of a drawing, to be asked whether one is at a place.
class CornerPlaces {
 public:
  CornerPlaces(const std::vector<Contour>& contours, const FairSpec& spec)
      : within_(spec.within.value()), cell_(std::max(1.0, within_)) {
    const double corner = from_degrees(spec.corners).value();
    for (const Contour& contour : contours) {
      const std::vector<Curve>& curves = contour.raw.curves;
      for (std::size_t i = 0; i < curves.size() && contour.closed; ++i) {
        const Curve& before = curves[(i + curves.size() - 1) % curves.size()];
        const double turn = angle_between(tangent_at(before, 1.0), tangent_at(curves[i], 0.0));
        const Vec2 at = start_of(curves[i]);
        if (std::abs(turn) > corner) cells_[cell_of(at)].push_back(at);
      }
    }
  }

  [[nodiscard]] bool has(Vec2 p) const {
    const auto [x, y] = cell_of(p);
    for (const long i : {x - 1, x, x + 1}) {
      for (const long k : {y - 1, y, y + 1}) {
        const auto cell = cells_.find({i, k});
        if (cell == cells_.end()) continue;
        for (const Vec2 at : cell->second) {
          if (distance(at, p) <= within_) return true;
        }
      }
    }
    return false;
  }

 private:
  using Cell = std::pair<long, long>;
  [[nodiscard]] Cell cell_of(Vec2 p) const { return {std::lround(p.x / cell_), std::lround(p.y / cell_)}; }
  double within_;
  double cell_;  // mm, no less than that
  std::map<Cell, std::vector<Vec2>> cells_;
};

void make_fair(Contour& contour, const FairSpec& spec, const CornerPlaces& corners, FairedChords& told) {
  FairOptions options;
  options.within = spec.within;
  options.corner = from_degrees(spec.corners);
  options.ends = [&corners](Vec2 p) { return corners.has(p); };
  Faired faired = fair(contour.raw.curves, contour.closed, options);
  if (faired.chords == 0) return;
  contour.raw.curves = std::move(faired.curves);
  told.chords += faired.chords;
  told.arcs += faired.arcs;
  told.worst = std::max(told.worst, faired.worst);
}

// Circles on these layers are punched, not drawn.
bool is_hole_layer(std::optional<LayerRole> role) {
  return role == LayerRole::kDrillHoles || role == LayerRole::kCutOuts;
}

}  // namespace

std::vector<OutlineLayer> outline_layers(const StyleSpec& style, const std::string& drawing) {
  std::vector<OutlineLayer> layers;
  for (const PieceSpec& piece : style.pieces) {
    if (piece.source.drawing == drawing && piece.source.layer)
      layers.push_back({piece.source.block, *piece.source.layer});
  }
  return layers;
}

PatternDrawing pattern_drawing(Drawing drawing, const DrawingSpec& spec,
                               const std::vector<OutlineLayer>& named) {
  PatternDrawing out;
  out.spec = spec;
  leave_out_doubles(drawing);
  ChainedContours chained = chain_contours(drawing, spec.chain_gap);
  std::optional<CornerPlaces> corners;
  if (spec.fair) corners.emplace(chained.contours, *spec.fair);
  for (Contour& contour : chained.contours) {
    if (contour.paths.size() > 1 && role_of_layer(spec, contour.from.layer) == LayerRole::kMirrorLine) {
      for (const std::size_t path : contour.paths)
        out.contours.push_back(prepared(path_contour(drawing.paths[path], path), spec, named));
      continue;
    }
    if (spec.fair) make_fair(contour, *spec.fair, *corners, out.faired);
    out.contours.push_back(prepared(std::move(contour), spec, named));
  }
  for (const DrawnCircle& circle : drawing.circles) {
    if (is_hole_layer(role_of_layer(spec, circle.from.layer))) continue;
    out.contours.push_back(prepared(circle_contour(circle), spec, named));
  }
  out.branches = std::move(chained.problems);
  out.drawing = std::move(drawing);
  if (!spec.inside.empty()) {
    for (const std::size_t i : inner_contours(out)) {
      out.contours[i].inner = true;
      out.contours[i].role = role_named(spec.inside);
    }
  }
  return out;
}

bool is_punched(const PatternDrawing& drawing, const DrawnCircle& circle) {
  return is_hole_layer(drawing.role(circle.from));
}

std::vector<std::size_t> inner_contours(const PatternDrawing& drawing) {
  std::map<std::tuple<std::string_view, std::size_t, std::string_view>, std::vector<std::size_t>> layers;
  for (std::size_t i = 0; i < drawing.contours.size(); ++i) {
    const PatternContour& contour = drawing.contours[i];
    const DrawnFrom& from = contour.contour.from;
    if (contour.contour.closed && contour.holds_outlines)
      layers[{from.block, from.insert, from.layer}].push_back(i);
  }
  std::vector<std::size_t> inner;
  for (const auto& [key, which] : layers) {
    if (which.size() < 2) continue;
    std::vector<std::unique_ptr<OutlineShape>> shapes;
    std::vector<OutlineGroup::Member> members;
    for (const std::size_t i : which) {
      shapes.push_back(std::make_unique<OutlineShape>(drawing.contours[i]));
      members.push_back({i, shapes.back().get()});
    }
    const std::vector<std::size_t> found = OutlineGroup(std::move(members)).inner();
    inner.insert(inner.end(), found.begin(), found.end());
  }
  std::sort(inner.begin(), inner.end());
  return inner;
}

bool inside_polygon(const std::vector<Vec2>& polygon, Vec2 p) {
  int winding = 0;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const Vec2 a = polygon[i];
    const Vec2 b = polygon[(i + 1) % polygon.size()];
    const double side = cross(b - a, p - a);
    if (a.y <= p.y && b.y > p.y && side > 0.0) ++winding;
    if (a.y > p.y && b.y <= p.y && side < 0.0) --winding;
  }
  return winding != 0;
}

std::string drawn_place(const PatternDrawing& drawing, Vec2 p, int decimals) {
  return drawn_place(drawing.laid ? 1.0 : drawing.drawing.unit_in_mm, p, decimals);
}

std::string described(const PatternContour& contour) {
  const DrawnFrom& from = contour.contour.from;
  std::string text;
  if (!from.block.empty()) text += fmt::format("block {}, ", from.block);
  text += fmt::format("layer {}", from.layer);
  if (from.line > 0) text += fmt::format(", line {}", from.line);
  return text + fmt::format(", {:.1f} x {:.1f} mm", contour.box.width(), contour.box.height());
}

}  // namespace lastwright
