// Why no outline of a new drawing can be taken for a piece that goes by a name: the true cause, with its
// place.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "grading/pieces/drawing/pattern_drawing.hpp"
#include "grading/redraw/outline_ruler.hpp"
#include "grading/style/piece_spec.hpp"

namespace lastwright {

// What a drawing has on the boundary under the name of a source, its block or its layer; both empty for a
// source without a name.
struct NamedOutlines {
  std::vector<std::size_t> closed;  // contours
  std::vector<std::size_t> open;
};
NamedOutlines outlines_named(const OutlineSource& source, const PatternDrawing& drawing);

// "its outline does not close: block VAMP, ...: open between (1.000, 2.000) and ..., gap 0.3 mm; ...", of the
// largest of these contours.
std::string does_not_close(const std::vector<std::size_t>& open, const PatternDrawing& drawing);

// Contours that do not close and lie all along within `reach` of where the piece lay, together at least half
// as long as its outline.
std::vector<std::size_t> open_there(const OutlineRuler& was, const PatternDrawing& drawing, double reach);

// "block VAMP is in the new drawing twice, at (10.0, 20.0) and (30.0, 20.0)": by the middles of their boxes.
std::string drawn_again(const std::string& name, const std::vector<std::size_t>& closed,
                        const PatternDrawing& drawing);

}  // namespace lastwright
