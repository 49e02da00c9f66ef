#include "grading/open_contours.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace lastwright {

namespace {

// Of its box's diagonal: lines that mark something inside a piece are open by most of their length.
constexpr double kNearlyShut = 0.2;

struct LooseEnd {
  std::size_t contour;
  Vec2 at;
};

}  // namespace

std::vector<OpenContour> open_contours(const PatternDrawing& drawing) {
  std::vector<OpenContour> open;
  std::vector<LooseEnd> ends;
  for (std::size_t i = 0; i < drawing.contours.size(); ++i) {
    const PatternContour& contour = drawing.contours[i];
    if (contour.contour.closed || contour.contour.raw.curves.empty()) continue;
    if (contour.role && *contour.role != LayerRole::kBoundary) continue;
    open.push_back(
        {i, start_of(contour.contour.raw.curves.front()), end_of(contour.contour.raw.curves.back())});
    ends.push_back({i, open.back().from});
    ends.push_back({i, open.back().to});
  }
  std::sort(ends.begin(), ends.end(), [](const LooseEnd& a, const LooseEnd& b) { return a.at.x < b.at.x; });
  // The nearest loose end of the same block and layer, but for the end itself.
  const auto missed_by = [&](const OpenContour& one, Vec2 end, Vec2 own_other) {
    const DrawnFrom& from = drawing.contours[one.contour].contour.from;
    double least = distance(end, own_other);
    const auto middle = std::lower_bound(ends.begin(), ends.end(), end.x,
                                         [](const LooseEnd& e, double x) { return e.at.x < x; });
    const auto look = [&](const LooseEnd& other) {
      if (std::abs(other.at.x - end.x) >= least) return false;
      const DrawnFrom& its = drawing.contours[other.contour].contour.from;
      if (other.contour != one.contour && its.block == from.block && its.layer == from.layer)
        least = std::min(least, distance(end, other.at));
      return true;
    };
    for (auto right = middle; right != ends.end() && look(*right); ++right) {
    }
    for (auto left = middle; left != ends.begin() && look(*std::prev(left)); --left) {
    }
    return least;
  };
  for (OpenContour& one : open) {
    const Box2& box = drawing.contours[one.contour].box;
    one.gap = std::max(missed_by(one, one.from, one.to), missed_by(one, one.to, one.from));
    one.nearly_shut = one.gap <= kNearlyShut * std::hypot(box.width(), box.height());
  }
  return open;
}

std::string described(const OpenContour& open, const PatternDrawing& drawing) {
  return fmt::format("{}: open between ({:.3f}, {:.3f}) and ({:.3f}, {:.3f}), gap {:.4g} mm",
                     described(drawing.contours[open.contour]), open.from.x, open.from.y, open.to.x,
                     open.to.y, open.gap);
}

double joining_gap(double gap) {
  if (!(gap > 0.0)) return 0.0;
  const double unit = std::pow(10.0, std::floor(std::log10(gap)) - 1.0);
  return std::ceil(gap / unit + 1e-9) * unit;
}

}  // namespace lastwright
