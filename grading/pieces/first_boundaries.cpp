#include "grading/pieces/first_boundaries.hpp"

#include <algorithm>
#include <map>
#include <memory>
#include <set>
#include <utility>

#include "grading/pieces/outline_group.hpp"

namespace lastwright {

namespace {

double extent_of(const PatternContour& contour) {
  return std::max(contour.box.width(), contour.box.height());
}

// The closed contours that lie inside another one of the same insertion, whatever their layers.
std::set<std::size_t> inside_another(const PatternDrawing& drawing) {
  std::map<std::pair<std::string, std::size_t>, std::vector<std::size_t>> frames;
  for (std::size_t i = 0; i < drawing.contours.size(); ++i) {
    const Contour& contour = drawing.contours[i].contour;
    if (contour.closed) frames[{contour.from.block, contour.from.insert}].push_back(i);
  }
  std::set<std::size_t> inner;
  for (const auto& [frame, which] : frames) {
    std::vector<std::unique_ptr<OutlineShape>> shapes;
    std::vector<OutlineGroup::Member> members;
    for (const std::size_t i : which) {
      shapes.push_back(std::make_unique<OutlineShape>(drawing.contours[i]));
      members.push_back({i, shapes.back().get()});
    }
    for (const std::size_t i : OutlineGroup(std::move(members)).inner()) inner.insert(i);
  }
  return inner;
}

}  // namespace

FirstBoundaries first_boundaries(const PatternDrawing& drawing) {
  FirstBoundaries out;
  const auto& contours = drawing.contours;
  const bool published = std::any_of(contours.begin(), contours.end(), [](const PatternContour& contour) {
    return contour.contour.closed && contour.role == LayerRole::kBoundary;
  });
  const std::set<std::size_t> inside = inside_another(drawing);
  std::map<std::string, std::vector<std::size_t>> by_layer;
  for (std::size_t i = 0; i < contours.size(); ++i) {
    if (contours[i].contour.closed && !contours[i].role)
      by_layer[contours[i].contour.from.layer].push_back(i);
  }
  for (const auto& [layer, closed] : by_layer) {
    const bool outermost =
        std::any_of(closed.begin(), closed.end(), [&](std::size_t i) { return !inside.contains(i); });
    const bool one = closed.size() == 1 && extent_of(contours[closed.front()]) >= kSmallestPiece;
    if (!published && (outermost || one)) {
      out.layers.push_back(layer);
      out.one_a_piece = out.one_a_piece || !outermost;
      continue;
    }
    for (const std::size_t i : closed) {
      if (extent_of(contours[i]) >= kSmallestPiece || !inside.contains(i)) out.beside.push_back(i);
    }
  }
  return out;
}

}  // namespace lastwright
