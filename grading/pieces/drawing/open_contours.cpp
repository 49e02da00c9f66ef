#include "grading/pieces/drawing/open_contours.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <string_view>
#include <tuple>
#include <vector>

namespace lastwright {

namespace {

// Of its box's diagonal: lines that mark something inside a piece are open by most of their length.
constexpr double kNearlyShut = 0.2;

struct LooseEnd {
  std::size_t contour;
  std::size_t group;  // of one block and layer
  Vec2 at;
};

// The ends of each group sorted along one axis.
class EndOrder {
 public:
  EndOrder(const std::vector<LooseEnd>& ends, double Vec2::*axis)
      : ends_(ends), axis_(axis), order_(ends.size()), rank_(ends.size()) {
    std::iota(order_.begin(), order_.end(), std::size_t{0});
    std::sort(order_.begin(), order_.end(), [&](std::size_t a, std::size_t b) {
      return std::tuple(ends[a].group, ends[a].at.*axis, a) < std::tuple(ends[b].group, ends[b].at.*axis, b);
    });
    for (std::size_t i = 0; i < order_.size(); ++i) rank_[order_[i]] = i;
  }

  // Goes from one end to both sides, nearest along the axis first.
  class Walk {
   public:
    Walk(const EndOrder& order, std::size_t from)
        : order_(order), from_(order.ends_[from]), left_(order.rank_[from]), right_(left_ + 1) {}
    // The next end that is less than `least` away along the axis.
    const LooseEnd* next(double least) {
      const LooseEnd* left = left_ > 0 ? same_group(left_ - 1) : nullptr;
      const LooseEnd* right = right_ < order_.order_.size() ? same_group(right_) : nullptr;
      if (left != nullptr && (right == nullptr || away(*left) <= away(*right))) {
        --left_;
        return away(*left) < least ? left : nullptr;
      }
      ++right_;
      return right != nullptr && away(*right) < least ? right : nullptr;
    }

   private:
    [[nodiscard]] const LooseEnd* same_group(std::size_t place) const {
      const LooseEnd& end = order_.ends_[order_.order_[place]];
      return end.group == from_.group ? &end : nullptr;
    }
    [[nodiscard]] double away(const LooseEnd& end) const {
      return std::abs(end.at.*order_.axis_ - from_.at.*order_.axis_);
    }
    const EndOrder& order_;
    const LooseEnd& from_;
    std::size_t left_;
    std::size_t right_;
  };

 private:
  const std::vector<LooseEnd>& ends_;
  double Vec2::*axis_;
  std::vector<std::size_t> order_;
  std::vector<std::size_t> rank_;  // of each end in the order
};

std::vector<LooseEnd> loose_ends(const PatternDrawing& drawing, const std::vector<OpenContour>& open) {
  std::map<std::pair<std::string_view, std::string_view>, std::size_t> groups;
  std::vector<LooseEnd> ends;
  for (const OpenContour& one : open) {
    const DrawnFrom& from = drawing.contours[one.contour].contour.from;
    const std::size_t group = groups.try_emplace({from.block, from.layer}, groups.size()).first->second;
    ends.push_back({one.contour, group, one.from});
    ends.push_back({one.contour, group, one.to});
  }
  return ends;
}

}  // namespace

std::vector<OpenContour> open_contours(const PatternDrawing& drawing) {
  std::vector<OpenContour> open;
  for (std::size_t i = 0; i < drawing.contours.size(); ++i) {
    const PatternContour& contour = drawing.contours[i];
    if (contour.contour.closed || contour.contour.raw.curves.empty()) continue;
    if (contour.role && *contour.role != LayerRole::kBoundary) continue;
    open.push_back(
        {i, start_of(contour.contour.raw.curves.front()), end_of(contour.contour.raw.curves.back())});
  }
  const std::vector<LooseEnd> ends = loose_ends(drawing, open);
  const EndOrder by_x(ends, &Vec2::x);
  const EndOrder by_y(ends, &Vec2::y);
  // The nearest loose end of the same block and layer, but for the end itself. Both axes are walked in turn,
  // so that thousands of ends below each other cost no more than thousands beside each other.
  const auto missed_by = [&](std::size_t index) {
    const LooseEnd& end = ends[index];
    double least = distance(end.at, ends[index ^ 1u].at);
    const auto look = [&](const LooseEnd* other) {
      if (other != nullptr && other->contour != end.contour)
        least = std::min(least, distance(end.at, other->at));
      return other != nullptr;
    };
    EndOrder::Walk across(by_x, index);
    EndOrder::Walk along(by_y, index);
    while (look(across.next(least)) && look(along.next(least))) {
    }
    return least;
  };
  for (std::size_t i = 0; i < open.size(); ++i) {
    OpenContour& one = open[i];
    const Box2& box = drawing.contours[one.contour].box;
    one.gap = std::max(missed_by(2 * i), missed_by(2 * i + 1));
    one.nearly_shut = one.gap <= kNearlyShut * std::hypot(box.width(), box.height());
  }
  return open;
}

std::string described(const OpenContour& open, const PatternDrawing& drawing) {
  return fmt::format("{}: open between {} and {}, gap {:.4g} mm", described(drawing.contours[open.contour]),
                     drawn_place(drawing, open.from), drawn_place(drawing, open.to), open.gap);
}

namespace {

// Two straight lines that are joined at both ends are no outline, and no more is one.
bool surrounds(const Contour& contour) {
  const auto& curves = contour.raw.curves;
  return curves.size() > 2 || std::any_of(curves.begin(), curves.end(), [](const Curve& curve) {
           return !std::holds_alternative<Line>(curve);
         });
}

}  // namespace

std::optional<double> JoiningGaps::joining(const OpenContour& open) {
  constexpr std::size_t kMostTried = 20;
  const double least = drawing_.spec.chain_gap.value();
  if (!(open.gap > least)) return std::nullopt;
  const double unit = std::pow(10.0, std::floor(std::log10(open.gap)) - 1.0);
  // To the digits that it will be typed with.
  const double gap = std::round(std::ceil(open.gap / unit + 1e-9) * unit * 1e9) / 1e9;
  if (gap > kMostJoined) return std::nullopt;
  auto tried = closed_.find(gap);
  if (tried == closed_.end()) {
    if (closed_.size() >= kMostTried) return std::nullopt;
    tried = closed_.try_emplace(gap).first;
    for (const Contour& contour : chain_contours(drawing_.drawing, Millimetres(gap)).contours) {
      if (contour.closed && surrounds(contour))
        tried->second.insert(contour.paths.begin(), contour.paths.end());
    }
  }
  const std::vector<std::size_t>& paths = drawing_.contours[open.contour].contour.paths;
  const bool closes =
      std::all_of(paths.begin(), paths.end(), [&](std::size_t path) { return tried->second.contains(path); });
  return closes ? std::optional(gap) : std::nullopt;
}

}  // namespace lastwright
