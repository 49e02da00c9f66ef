#include "grading/redraw/twin_causes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "grading/pieces/drawing/open_contours.hpp"

namespace lastwright {

NamedOutlines outlines_named(const OutlineSource& source, const PatternDrawing& drawing) {
  NamedOutlines named;
  if (!source.block && !source.layer) return named;
  for (std::size_t i = 0; i < drawing.contours.size(); ++i) {
    const PatternContour& one = drawing.contours[i];
    const DrawnFrom& from = one.contour.from;
    if (one.inner || (source.block && from.block != *source.block)) continue;
    if (source.layer ? from.layer != *source.layer : one.role != LayerRole::kBoundary || one.named_only)
      continue;
    (one.contour.closed ? named.closed : named.open).push_back(i);
  }
  return named;
}

std::string does_not_close(const std::vector<std::size_t>& open, const PatternDrawing& drawing) {
  const std::vector<OpenContour> all = open_contours(drawing);
  const OpenContour* largest = nullptr;
  const auto size = [&](const OpenContour& one) {
    const Box2& box = drawing.contours[one.contour].box;
    return std::hypot(box.width(), box.height());
  };
  for (const OpenContour& one : all) {
    if (std::find(open.begin(), open.end(), one.contour) == open.end()) continue;
    if (largest == nullptr || size(one) > size(*largest)) largest = &one;
  }
  if (largest == nullptr) return "its outline does not close";
  const std::optional<double> gap = JoiningGaps(drawing).joining(*largest);
  return fmt::format(
      "its outline does not close: {}{}; {}", described(*largest, drawing),
      open.size() > 1 ? fmt::format(" (the largest of {} lines that do not meet)", open.size()) : "",
      gap ? fmt::format("draw it closed, or state \"chain_gap\": {:g} on the drawing, which closes it", *gap)
          : std::string("a line is missing there, or lies on another layer"));
}

std::vector<std::size_t> open_there(const OutlineRuler& was, const PatternDrawing& drawing, double reach) {
  std::vector<std::size_t> there;
  double long_as = 0.0;
  for (const OpenContour& one : open_contours(drawing)) {
    const std::vector<Curve>& curves = drawing.contours[one.contour].contour.raw.curves;
    const bool near = std::all_of(curves.begin(), curves.end(), [&](const Curve& curve) {
      return was.nearest(start_of(curve)).distance <= reach && was.nearest(end_of(curve)).distance <= reach;
    });
    if (!near) continue;
    there.push_back(one.contour);
    for (const Curve& curve : curves) long_as += length(curve);
  }
  if (long_as < 0.5 * was.length()) there.clear();
  return there;
}

std::string drawn_again(const std::string& name, const std::vector<std::size_t>& closed,
                        const PatternDrawing& drawing) {
  constexpr std::size_t kMostPlaces = 6;
  std::string places;
  for (std::size_t i = 0; i < closed.size() && i < kMostPlaces; ++i) {
    const Vec2 middle = drawing.contours[closed[i]].box.centre();
    places += fmt::format("{}({:.1f}, {:.1f})",
                          i == 0                   ? ""
                          : i + 1 == closed.size() ? " and "
                                                   : ", ",
                          middle.x, middle.y);
  }
  return fmt::format("{} is in the new drawing {}, at {}", name,
                     closed.size() == 2 ? std::string("twice") : fmt::format("{} times", closed.size()),
                     places);
}

}  // namespace lastwright
