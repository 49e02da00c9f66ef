// A line or two of words on a drawing of a piece, inside it and off all that is drawn there.
#pragma once

#include <string>
#include <vector>

#include "cli/report/label_room.hpp"

namespace lastwright {

// `first` and `second` in one line or one under the other, level or upright, as near to the middle of the
// piece and as high as there is room for, up to 2.5 mm. Empty where they would be too small to read. What is
// placed is taken from the room.
std::vector<SheetText> piece_caption(const GradedPiece& piece, const std::string& first,
                                     const std::string& second, LabelRoom& room);

}  // namespace lastwright
