#include "grading/pieces/first/first_boundaries.hpp"

#include <algorithm>
#include <map>
#include <memory>
#include <set>
#include <utility>

#include "grading/pieces/drawing/outline_group.hpp"

namespace lastwright {

namespace {

// Of closed contours of one insertion: those that lie inside another one of them.
std::vector<std::size_t> inner_of(const std::vector<std::size_t>& which, const PatternDrawing& drawing) {
  std::vector<std::unique_ptr<OutlineShape>> shapes;
  std::vector<OutlineGroup::Member> members;
  for (const std::size_t i : which) {
    shapes.push_back(std::make_unique<OutlineShape>(drawing.contours[i]));
    members.push_back({i, shapes.back().get()});
  }
  return OutlineGroup(std::move(members)).inner();
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
    for (const std::size_t i : inner_of(which, drawing)) inner.insert(i);
  }
  return inner;
}

// Whether one of the closed contours of a layer may be a piece and holds all others, none of them half as
// large: two rows of stitches, one inside the other, are as large as each other.
bool holds_the_others(const std::vector<std::size_t>& closed, const PatternDrawing& drawing) {
  constexpr double kMostInside = 0.5;  // of the area
  const auto& contours = drawing.contours;
  const std::size_t largest =
      *std::max_element(closed.begin(), closed.end(),
                        [&](std::size_t a, std::size_t b) { return contours[a].area < contours[b].area; });
  const DrawnFrom& its = contours[largest].contour.from;
  const auto may_lie_in_it = [&](std::size_t i) {
    const DrawnFrom& from = contours[i].contour.from;
    return i == largest || (from.block == its.block && from.insert == its.insert &&
                            contours[i].area < kMostInside * contours[largest].area);
  };
  // Each that lies inside another lies, at the last, inside the only one that does not.
  return may_be_piece(contours[largest]) && std::all_of(closed.begin(), closed.end(), may_lie_in_it) &&
         inner_of(closed, drawing).size() + 1 == closed.size();
}

}  // namespace

bool may_be_piece(const PatternContour& contour) {
  return contour.contour.closed && std::max(contour.box.width(), contour.box.height()) >= kSmallestPiece;
}

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
    if (!published && (outermost || holds_the_others(closed, drawing))) {
      out.layers.push_back(layer);
      out.one_a_piece = out.one_a_piece || !outermost;
      continue;
    }
    for (const std::size_t i : closed) {
      if (may_be_piece(contours[i]) || !inside.contains(i)) out.beside.push_back(i);
    }
  }
  return out;
}

}  // namespace lastwright
