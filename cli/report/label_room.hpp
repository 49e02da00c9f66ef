// Room for labels on a picture of a piece: off its lines,
// holes, cut-outs, texts and the labels placed before.
#pragma once

#include <string_view>
#include <vector>

#include "geometry/curve/course.hpp"
#include "geometry/io/paper/svg_canvas.hpp"
#include "grading/pieces/graded_piece.hpp"

namespace lastwright {

class LabelRoom {
 public:
  // All that is drawn of the piece but labels of skive bands. The piece must outlive it.
  explicit LabelRoom(const GradedPiece& piece);

  // Whether the text keeps 0.6 mm off everything there; `inside`: and lies inside the net line.
  [[nodiscard]] bool free(const SvgText& style, std::string_view text, bool inside) const;
  void take(const SvgText& style, std::string_view text);

 private:
  void add(const ClosedArcPath& path);
  void add(const OpenArcPath& path, double clear);

  struct Line {
    ArcSegment segment;
    Box2 box;  // with what is kept clear
    double clear;
  };
  const GradedPiece* piece_;
  std::vector<Line> lines_;
  std::vector<ClosedArcPath> taken_;
};

// The box that a text fills, as the estimate of its width has it.
ClosedArcPath box_of(const SvgText& style, std::string_view text);

// Whether a line of the path comes nearer to the box than `clear`.
bool meets(const ClosedArcPath& box, const ClosedArcPath& path, double clear);

}  // namespace lastwright
