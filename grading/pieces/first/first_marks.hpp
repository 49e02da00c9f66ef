// Places of a drawing that a text beside them names.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "grading/pieces/drawing/pattern_drawing.hpp"

namespace lastwright {

struct TextedMark {
  std::string name;     // as plain_name has it
  std::string written;  // as it stands in the drawing, without blanks at its ends
  Vec2 at;
  std::size_t text = 0;  // index into the drawing's texts
};

// A POINT that is no notch, or a circle of a radius up to 1 mm, with a text that starts or stands within 4 mm
// of it or one and a half times the text's height, whichever is more. Each text names its nearest mark, each
// mark goes by its nearest text.
std::vector<TextedMark> texted_marks(const PatternDrawing& drawing);

}  // namespace lastwright
