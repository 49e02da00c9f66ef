// Marks whose places a style takes: they are used, whatever layer they stand on.
#pragma once

#include <string>
#include <vector>

#include "geometry/io/drawing.hpp"
#include "grading/pieces/drawing/drawing_account.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

struct UsedMark {
  std::string text;  // as it stands in the drawing
  Vec2 at;
};

// Those of the drawing that points of the style are stated by: {"mark": "joint"}.
std::vector<UsedMark> stated_marks(const StyleSpec& style, const std::string& key, const Drawing& drawing);

// What an account left out of them, the point or circle and its text, counts as used: by the piece they lie
// in, or where they lie in none by the points they name.
void count_marks(const std::vector<UsedMark>& marks, const Drawing& drawing, DrawingAccount& account);

}  // namespace lastwright
