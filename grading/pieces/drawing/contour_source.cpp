#include "grading/pieces/drawing/contour_source.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "grading/pieces/piece_contour.hpp"

namespace lastwright {

namespace {

constexpr int kLines = 32;  // across the contour, on which a point is looked for

// As it will stand in the style.
Vec2 as_written(Vec2 p) {
  constexpr double kPerMillimetre = 1e4;  // a style file holds four decimals
  return {std::round(p.x * kPerMillimetre) / kPerMillimetre,
          std::round(p.y * kPerMillimetre) / kPerMillimetre};
}

// Where a horizontal line goes in and out, rising.
std::vector<double> crossings(const std::vector<Vec2>& polygon, double y) {
  std::vector<double> at;
  for (std::size_t k = 0; k < polygon.size(); ++k) {
    const Vec2 a = polygon[k];
    const Vec2 b = polygon[(k + 1) % polygon.size()];
    if ((a.y <= y) != (b.y <= y)) at.push_back(a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y));
  }
  std::sort(at.begin(), at.end());
  return at;
}

// A point inside the contour and in none of the others: the middle of the longest free stretch of some lines
// across it. The lines lie denser towards its lowest and highest points, where the others leave room.
std::optional<Vec2> point_in_none_of(const PatternContour& contour,
                                     const std::vector<const PatternContour*>& others) {
  std::optional<Vec2> best;
  double longest = 0.0;
  for (int i = 1; i < kLines; ++i) {
    const double share = 0.5 - 0.5 * std::cos(M_PI * i / kLines);
    const double y = contour.box.low.y + contour.box.height() * share;
    const std::vector<double> own = crossings(contour.polygon, y);
    std::vector<double> ends = own;
    for (const PatternContour* other : others) {
      const std::vector<double> more = crossings(other->polygon, y);
      ends.insert(ends.end(), more.begin(), more.end());
    }
    std::sort(ends.begin(), ends.end());
    for (std::size_t k = 0; k + 1 < ends.size(); ++k) {
      if (ends[k + 1] - ends[k] <= longest) continue;
      const Vec2 middle = as_written({0.5 * (ends[k] + ends[k + 1]), y});
      if (!inside_polygon(contour.polygon, middle)) continue;
      if (std::any_of(others.begin(), others.end(),
                      [&](const PatternContour* other) { return inside_polygon(other->polygon, middle); }))
        continue;
      longest = ends[k + 1] - ends[k];
      best = middle;
    }
  }
  return best;
}

}  // namespace

std::optional<OutlineSource> source_of(std::size_t contour, const PatternDrawing& drawing) {
  const PatternContour& own = drawing.contours[contour];
  const DrawnFrom& from = own.contour.from;
  OutlineSource source;
  source.drawing = drawing.spec.key;
  const auto tells = [&] {
    const Result<std::size_t> found = find_contour(source, drawing);
    return found.ok() && *found == contour;
  };
  if (!from.block.empty()) source.block = from.block;
  if (tells()) return source;
  source.layer = from.layer;
  if (tells()) return source;
  if (from.block.empty() || (own.role == LayerRole::kBoundary && !own.named_only)) source.layer.reset();
  // A point tells as long as it lies in no smaller contour of the same block, or of all that are boundaries.
  for (const bool with_layer : {false, true}) {
    if (with_layer) source.layer = from.layer;
    std::vector<const PatternContour*> others;
    for (const PatternContour& other : drawing.contours) {
      if (&other == &own || !other.contour.closed || other.inner || other.area > own.area) continue;
      if (source.block && other.contour.from.block != *source.block) continue;
      if (source.layer ? other.contour.from.layer != *source.layer
                       : other.role != LayerRole::kBoundary || other.named_only)
        continue;
      if (other.box.overlaps(own.box)) others.push_back(&other);
    }
    source.at = point_in_none_of(own, others);
    if (source.at && tells()) return source;
  }
  return std::nullopt;
}

}  // namespace lastwright
