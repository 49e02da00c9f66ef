#include "grading/pieces/first/first_open.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "geometry/curve/nearest.hpp"
#include "geometry/tolerance.hpp"
#include "grading/pieces/bound_piece.hpp"

namespace lastwright {

OpenOutlines::OpenOutlines(const PatternDrawing& drawing)
    : drawing_(drawing), open_(open_contours(drawing)), gaps_(drawing) {}

double OpenOutlines::largest() const {
  double largest = 0.0;
  for (const OpenContour& open : open_)
    largest = std::max(largest, extent_of(drawing_.contours[open.contour].box));
  return largest;
}

std::vector<std::string> OpenOutlines::branches() const {
  std::vector<std::string> lines;
  const std::size_t branches = drawing_.branches.size();
  for (std::size_t i = 0; i < std::min(branches, kMostOpenTold); ++i)
    lines.push_back(to_text(drawing_.branches[i]));
  if (branches > kMostOpenTold)
    lines.push_back(fmt::format("and {} more places where loose ends meet", branches - kMostOpenTold));
  return lines;
}

std::vector<std::string> OpenOutlines::may_be_pieces() {
  std::vector<std::string> told;
  for (const OpenContour& open : open_) {
    const bool boundary = drawing_.contours[open.contour].role.has_value();
    const auto& curves = drawing_.contours[open.contour].contour.raw.curves;
    const bool one_line = curves.size() == 1 && std::holds_alternative<Line>(curves.front());
    const bool shut = open.nearly_shut && (!one_line || gaps_.joining(open));
    if (one_line && stands_on_edge(open)) continue;
    if (shut || (boundary && !lies_in_outline(open)))
      told.push_back(described(open, drawing_) + to_join(open));
  }
  return told;
}

// What the drawing says of such lines judges it; it is a nick, nothing, or left out by name.
bool OpenOutlines::stands_on_edge(const OpenContour& open) const {
  if (drawing_.spec.edge_lines.empty()) return false;
  const PatternContour& line = drawing_.contours[open.contour];
  const Vec2 from = start_of(line.contour.raw.curves.front());
  const Vec2 to = end_of(line.contour.raw.curves.front());
  if (line.role != LayerRole::kBoundary || distance(from, to) > kMostDrawnNick) return false;
  const auto meets = [&](const Curve& curve) {
    const double off = std::min(nearest(curve, from).distance, nearest(curve, to).distance);
    return off <= tolerance::kCornerSnap.value();
  };
  return std::any_of(drawing_.contours.begin(), drawing_.contours.end(), [&](const PatternContour& outline) {
    const auto& curves = outline.contour.raw.curves;
    return outline.role == LayerRole::kBoundary && outline.contour.closed &&
           outline.contour.from.layer == line.contour.from.layer &&
           std::any_of(curves.begin(), curves.end(), meets);
  });
}

bool OpenOutlines::lies_in_outline(const OpenContour& open) const {
  const auto& curves = drawing_.contours[open.contour].contour.raw.curves;
  const Vec2 middle = point_at(curves[curves.size() / 2], 0.5);
  const auto holds = [&](const PatternContour& outline) {
    return outline.role == LayerRole::kBoundary && outline.contour.closed &&
           outline.box.overlaps({middle, middle}) && inside_polygon(outline.polygon, middle);
  };
  return std::any_of(drawing_.contours.begin(), drawing_.contours.end(), holds);
}

// Nothing is advised that has not been tried.
std::string OpenOutlines::to_join(const OpenContour& open) {
  if (const std::optional<double> gap = gaps_.joining(open))
    return fmt::format("; --gap {:g} joins it", *gap);
  if (open.gap <= drawing_.spec.chain_gap.value()) return "; other lines end there too";
  if (open.gap > kMostJoined && open.nearly_shut)
    return fmt::format("; more than --gap joins ({:g} mm): a line is missing there", kMostJoined);
  return "";
}

std::string OpenOutlines::told() {
  std::string text;
  for (std::size_t i = 0; i < open_.size() && i < kMostOpenTold; ++i)
    text += (i ? "; " : "") + described(open_[i], drawing_) + to_join(open_[i]);
  if (open_.size() > kMostOpenTold) text += fmt::format("; and {} more", open_.size() - kMostOpenTold);
  constexpr std::size_t kMostBranchesTold = 3;
  for (std::size_t i = 0; i < drawing_.branches.size() && i < kMostBranchesTold; ++i)
    text += "; " + drawing_.branches[i].message;
  return text;
}

double extent_of(const Box2& box) {
  return std::max(box.width(), box.height());
}

}  // namespace lastwright
