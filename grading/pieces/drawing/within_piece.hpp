// Whether what is cut or punched through a piece as drawn lies inside it.
#pragma once

#include <optional>
#include <vector>

#include "geometry/curve/outline.hpp"
#include "geometry/result.hpp"
#include "grading/pieces/bound_piece.hpp"
#include "grading/pieces/drawing/outline_group.hpp"
#include "grading/pieces/drawing/pattern_drawing.hpp"
#include "grading/pieces/mirror.hpp"

namespace lastwright {

// A cut-out may reach over the outline by no more than tolerance::kOutlineChord; a round hole or a prick
// besides by the allowance of the edge there, where the piece is drawn net. A hole whose centre is on the
// fold of a piece that is cut double is one hole of the unfolded piece; everything else that crosses the fold
// would be cut twice, and is refused.
class WithinPiece {
 public:
  // `outline`: index of the contour; `piece`: with its edges cut. It and the drawing are kept by reference.
  WithinPiece(const PatternDrawing& drawing, std::size_t outline, const BoundPiece& piece);

  [[nodiscard]] Status check(const BoundHole& hole) const;
  [[nodiscard]] Status check(const ClosedOutline& cut_out, const DrawnFrom& from) const;

 private:
  struct Thing {
    const char* what;
    bool in_allowance;  // it may lie there
    bool over_fold;     // it may lie there too
    const DrawnFrom& from;
  };
  // How far p lies outside of what is allowed; 0 inside.
  [[nodiscard]] double outside(Vec2 p, bool in_allowance) const;
  [[nodiscard]] Status check(const std::vector<Vec2>& points, const Thing& thing) const;

  const PatternDrawing& drawing_;
  const BoundPiece& piece_;
  OutlineShape shape_;
  std::optional<Mirror> fold_;
};

}  // namespace lastwright
