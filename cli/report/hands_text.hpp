// Which pieces are cut once, which left and right, and what one pair needs, in a few lines.
#pragma once

#include <string>
#include <vector>

#include "grading/checks/piece_hands.hpp"

namespace lastwright {

std::string hands_text(const std::vector<PieceHands>& hands);

}  // namespace lastwright
