// Finds in the drawings the points that a style states by what they are.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "grading/json/json_forward.hpp"
#include "grading/pieces/drawing/pattern_drawing.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

struct FoundPoints {
  std::map<std::string, Vec2> places;  // by JSON pointer, in the frame that coordinates there would be in
  std::vector<Problem> problems;       // each with its pointer
};

// Every reference of `style`, which `document` reads as; `drawings` by their key. A corner is where the
// outline is taken for it (grading/pieces/drawing/outline_split), an edge runs between such places. Refused is what
// is not there, what is there twice, what refers to itself, and what lies in another frame.
FoundPoints find_points(const JsonDocument& document, const StyleSpec& style,
                        const std::map<std::string, PatternDrawing>& drawings);

}  // namespace lastwright
