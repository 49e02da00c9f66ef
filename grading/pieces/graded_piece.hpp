// One piece in one size and width, as it leaves the grade: everything that is drawn, cut or checked.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "geometry/curve/arc_path.hpp"
#include "geometry/io/die_drawing.hpp"
#include "grading/pieces/nick_tells.hpp"
#include "grading/sizes/scale.hpp"

namespace lastwright {

// A closed outline whose segments know which edge of the piece they belong to.
struct EdgedOutline {
  ClosedArcPath path;               // counter-clockwise
  std::vector<std::uint16_t> edge;  // per segment: index into the piece's edges
};

// An internal line with its work.
struct GradedLine {
  OpenArcPath path;
  Operation operation = Operation::kGuide;
  NickTells tells = {};  // of a nick that stands for this size or width
};
struct GradedHole {
  Vec2 centre;
  double radius = 0.0;
  Operation operation = Operation::kHole;
};

struct GradedPiece {
  std::string piece;
  SizeWidth at;
  EdgedOutline net;  // finished edge; in the frame of the forme
  EdgedOutline cut;  // net line plus allowances; equal to net where there are none
  std::vector<ClosedArcPath> cut_outs;
  std::vector<GradedLine> lines;
  std::vector<GradedHole> holes;
  std::vector<SheetText> texts;
};

}  // namespace lastwright
