// Outlines from the smallest to the largest, asked which of them hold a thing.
#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <span>
#include <vector>

#include "grading/pieces/drawing/pattern_drawing.hpp"
#include "grading/pieces/drawing/polygon_index.hpp"

namespace lastwright {

struct Owner {
  std::optional<std::size_t> outline;  // index of its contour; empty: nobody's
  // Found by place alone: further outlines that hold the whole of it too, the first few. Then it is a guess.
  std::vector<std::size_t> others;
};

// A closed contour that is asked what it holds.
class OutlineShape {
 public:
  explicit OutlineShape(const PatternContour& contour);

  // Inside, or within tolerance::kCornerSnap of it.
  [[nodiscard]] bool holds(Vec2 p) const { return polygon_.inside(p) || near_edge(p); }
  [[nodiscard]] bool near_edge(Vec2 p) const;
  [[nodiscard]] const Box2& box() const { return contour_->box; }
  [[nodiscard]] double area() const { return contour_->area; }
  [[nodiscard]] const std::vector<Vec2>& polygon() const { return contour_->polygon; }
  [[nodiscard]] bool inside(Vec2 p) const { return polygon_.inside(p); }

 private:
  const PatternContour* contour_;
  PolygonIndex polygon_;
  std::vector<Box2> near_;  // of each curve, grown by tolerance::kCornerSnap
};

class OutlineGroup {
 public:
  struct Member {
    std::size_t contour;
    const OutlineShape* shape;
  };
  enum Wanted { kEvery, kAny };  // of the points

  OutlineGroup() = default;
  explicit OutlineGroup(std::vector<Member> members);

  [[nodiscard]] std::size_t size() const { return members_.size(); }
  // Precondition: size() is 1.
  [[nodiscard]] std::size_t only() const { return members_.front().contour; }
  // The smallest outline for which `test` holds at every point or at any; the drawing's order breaks ties.
  // Outlines farther than tolerance::kCornerSnap from a point are not asked about it.
  [[nodiscard]] Owner smallest_with(std::span<const Vec2> points,
                                    const std::function<bool(const OutlineShape&, Vec2)>& test,
                                    Wanted wanted) const;
  // The members that lie inside a larger one, by their contours.
  [[nodiscard]] std::vector<std::size_t> inner() const;

 private:
  // Members whose grown box holds p, smallest first, until `visit` is true.
  void around(Vec2 p, const std::function<bool(std::size_t)>& visit) const;
  [[nodiscard]] std::size_t cell_of(Vec2 p) const;

  std::vector<Member> members_;  // smallest first
  Box2 box_;
  std::size_t side_ = 1;                         // the grid has side x side cells
  std::vector<std::vector<std::size_t>> cells_;  // members that reach into them, smallest first
  std::vector<std::size_t> wide_;                // members that reach into very many
};

}  // namespace lastwright
