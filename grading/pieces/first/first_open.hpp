// The outlines of a drawing that do not close, as a first style tells of them.
#pragma once

#include <string>
#include <vector>

#include "grading/pieces/drawing/open_contours.hpp"
#include "grading/pieces/drawing/pattern_drawing.hpp"

namespace lastwright {

// Of each kind of thing, so many are told one by one.
inline constexpr std::size_t kMostOpenTold = 20;

class OpenOutlines {
 public:
  // Kept by reference.
  explicit OpenOutlines(const PatternDrawing& drawing);

  [[nodiscard]] const std::vector<OpenContour>& all() const { return open_; }
  [[nodiscard]] double largest() const;  // extent, millimetres; 0 when there is none
  // Each with what would join it, and where branches meet, in one line.
  std::string told();
  // Those that may be pieces, each with what would join it: not what lies across a piece, the account has it.
  std::vector<std::string> may_be_pieces();
  // Where more than two loose ends meet.
  [[nodiscard]] std::vector<std::string> branches() const;

 private:
  std::string to_join(const OpenContour& open);
  [[nodiscard]] bool stands_on_edge(const OpenContour& open) const;
  [[nodiscard]] bool lies_in_outline(const OpenContour& open) const;

  const PatternDrawing& drawing_;
  std::vector<OpenContour> open_;
  JoiningGaps gaps_;
};

// The larger of its width and height.
double extent_of(const Box2& box);

}  // namespace lastwright
