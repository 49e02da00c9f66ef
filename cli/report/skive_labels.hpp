// Where the labels of skive bands stand on a picture: slid along their lines to where nothing else is drawn.
#pragma once

#include <string>
#include <vector>

#include "cli/report/label_room.hpp"

namespace lastwright {

struct SkiveLabel {
  SvgText style;
  std::string text;
};

// In the band, as near as can be to where the piece has them; else beside the line, inside the piece; where
// there is no room at all, where the piece has them. What is placed is taken from the room.
std::vector<SkiveLabel> place_skive_labels(const GradedPiece& piece, LabelRoom& room);

// The skive texts of a drawing of the piece, put there.
void settle_skive_texts(const GradedPiece& piece, LabelRoom& room, std::vector<SheetText>& texts);

}  // namespace lastwright
